import { useLocation } from "preact-iso";
import type { Purpose } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { plan as say } from "../../words/plan";
import { purposes } from "../../words/trade";
import { Holding } from "./Holding";
import { Lists } from "./Lists";
import { readPlanBase, type PlanBase } from "./read";
import { usePlan } from "./usePlan";
import { Wish } from "./Wish";
import styles from "./style.module.css";

/** Which trials next, and by whom. `?purpose=` and `?stone=` narrow it. */
export function Plan() {
  const { query, route } = useLocation();
  const base = useLive(readPlanBase, []);
  if (base === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (!base.mayDeal) return <Page><Head back={{ href: "/", words: say.bench }} title={say.title} /><p>{say.notForYou}</p></Page>;
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && base.purposes.includes(wanted) ? wanted : base.purposes[0];
  const stoneId = query["stone"] ?? null;
  const stone = stoneId === null ? null : base.stones.get(stoneId) ?? null;
  const suffix = purpose === undefined ? "" : `?purpose=${purpose}`;
  const back = stone === null
    ? { href: `/pooled${suffix}`, words: say.back }
    : { href: `/stones/${stone.id}/publish${suffix}`, words: say.backToStone(stone.code) };
  return (
    <Page wide>
      <div class={styles.screenOnly}>
        <Head back={back} title={say.title}>
          {stone === null
            ? <p class="soft">{say.lead}</p>
            : <p>{say.onlyOne(stone.code)} <a href={`/plan${suffix}`}>{say.all}</a></p>}
        </Head>
      </div>
      {purpose === undefined ? <p>{say.noPurpose}</p> : (
        <>
          {base.purposes.length > 1 && (
            <div class={styles.screenOnly}>
              <Choice
                name={say.purpose}
                hideName
                lay="strip"
                options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
                value={purpose}
                onChoose={(value) => route(`/plan?purpose=${value}${stone === null ? "" : `&stone=${stone.id}`}`, true)}
              />
            </div>
          )}
          <OnePurpose key={`${purpose} ${stone?.id ?? ""}`} base={base} purpose={purpose} stoneId={stone?.id ?? null} />
        </>
      )}
    </Page>
  );
}

function OnePurpose({ base, purpose, stoneId }: { readonly base: PlanBase; readonly purpose: Purpose; readonly stoneId: string | null }) {
  const view = usePlan(purpose, stoneId);
  if (view === undefined) return <p class="soft">{say.reading}</p>;
  return (
    <>
      <div class={styles.columns}>
        <div class={styles.screenOnly}><Wish view={view} testers={base.testers} stoneId={stoneId} /></div>
        {view.kept === null
          ? <p class="soft">{view.asked === "asking" ? "" : say.none}</p>
          : <Lists view={view} base={base} purpose={purpose} />}
      </div>
      <Holding planned={view.kept?.answer.trials.map((trial) => trial.stone_id) ?? []} />
    </>
  );
}
