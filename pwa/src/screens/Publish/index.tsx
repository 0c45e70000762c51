import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import { isIssued, latestOf } from "../../domain/publishing";
import type { Purpose, Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { readMovedSlips, readReadiness, useView } from "../../sync/views";
import { publish as say } from "../../words/publish";
import { forms, kinds, purposes } from "../../words/trade";
import { Earlier } from "./Earlier";
import { Issued } from "./Issued";
import { readPublish, type PublishView } from "./read";
import { Standing } from "./Standing";
import styles from "./style.module.css";
import { Underway } from "./Underway";

/** Publishing one stone's grades, purpose by purpose: what stands in the way, the slip, what became of earlier ones. */
export function Publish({ id }: { readonly id: string }) {
  const page = useLive(() => readPublish(id), [id]);
  const { query, route } = useLocation();
  if (page === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { stone } = page;
  const back = { href: `/stones/${id}`, words: say.back(stone?.code ?? "") };
  if (stone === null) return <Page><Head back={{ href: "/stones", words: say.back("") }} title={say.title("")} /><p>{say.noStone}</p></Page>;
  if (!page.mayDeal) return <Page><Head back={back} title={say.title(stone.code)} /><p>{say.notForYou}</p></Page>;
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && page.purposes.includes(wanted) ? wanted : page.tried[0] ?? page.purposes[0];
  return (
    <Page wide>
      <Head back={back} title={say.title(stone.code)}>
        <p class="soft">{[kinds[stone.kind], forms[stone.form]].join(", ")}</p>
      </Head>
      {page.purposes.length > 1 && purpose && (
        <Choice
          name={say.purpose}
          hideName
          lay="strip"
          options={page.purposes.map((value) => ({ value, words: purposes[value] }))}
          value={purpose}
          onChoose={(value) => route(`/stones/${id}/publish?purpose=${value}`, true)}
        />
      )}
      {purpose === undefined ? <p>{say.noPurpose}</p> : <OnePurpose key={purpose} stone={stone} purpose={purpose} page={page} />}
    </Page>
  );
}

function OnePurpose({ stone, purpose, page }: { readonly stone: Stone; readonly purpose: Purpose; readonly page: PublishView }) {
  const [round, setRound] = useState(0);
  const slips = page.slips.filter(({ record }) => record.purpose === purpose);
  const underway = slips.filter(({ record }) => !isIssued(record) && record.withdrawn === null);
  const current = latestOf(slips, purpose);
  const earlier = slips.filter(({ record }) => isIssued(record) && record.id !== current?.record.id);
  const readiness = useView(() => readReadiness(stone.id, purpose), [stone.id, purpose, round, current?.record.id]);
  const movedView = useView(readMovedSlips, [stone.id, current?.record.id, round]);
  const moved = movedView?.kind === "here" ? movedView.value.items : [];
  const standing = (
    <Standing
      key={current?.record.id ?? ""}
      stoneId={stone.id}
      purpose={purpose}
      protocols={page.protocols}
      view={readiness}
      anew={current !== null}
      onAgain={() => setRound((n) => n + 1)}
    />
  );
  return (
    <>
      {underway.map((slip) => <Underway key={slip.record.id} slip={slip} />)}
      {current && <Issued slip={current} moved={moved} page={page} />}
      {underway.length === 0 && (current === null
        ? <section class="stack"><h2>{say.gradesNow}</h2>{standing}</section>
        : (
          // A slip that still says what is known needs no second one in its face.
          <details class="stack" open={moved.some((one) => one.slip_id === current.record.id)}>
            <summary class={styles.more}><h2>{say.anewTitle}</h2></summary>
            {standing}
          </details>
        ))}
      <Earlier slips={earlier} all={slips} moved={moved} protocols={page.protocols.filter((protocol) => protocol.purpose === purpose)} />
    </>
  );
}
