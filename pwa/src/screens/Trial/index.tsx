import { useLocation } from "preact-iso";
import type { Blade, Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { readAll, readOne, readRuleSet, readSession } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { saveRecord } from "../../sync/commands";
import { change as sayChange } from "../../words/change";
import { mine as sayMine } from "../../words/mine";
import { trial as say } from "../../words/trial";
import { verdictsOf } from "../Stone/verdictsOf";
import { latestByFace } from "../Stones/state";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { ChangeTrial } from "./Change";
import { readChanged } from "./changed";
import { Flow, type BenchData, type Ending, type Finished } from "./Flow";
import { bladeWords } from "./Setup";

/** A guided trial of one stone with one blade: set-up, the protocol's steps, review, saved. */
export function Trial({ id }: { readonly id: string }) {
  const { query } = useLocation();
  const bench = useLive(() => readBench(id), [id]);
  if (bench === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { stone } = bench;
  if (stone === null) return <Page><p>{say.noStone}</p></Page>;
  const change = query["change"];
  if (change === undefined) return <NewTrial key={id} bench={bench} stone={stone} />;
  return (
    <ChangeTrial key={change} stoneId={id} trialId={change}>
      {(form) => <OfStone bench={bench} stone={stone} form={form} />}
    </ChangeTrial>
  );
}

function NewTrial({ bench, stone }: { bench: BenchData; stone: Stone }) {
  const form = useDraftForm({ key: `trial:${stone.id}`, kind: "trial", about_id: stone.id });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <OfStone bench={bench} stone={stone} form={form} />;
}

async function readBench(id: string): Promise<BenchData & { readonly stone: Stone | null }> {
  const session = await readSession();
  const [stone, protocols, blades, trials, inspections, ruleSet] = await Promise.all([
    readOne("stone", id), readAll("protocol"), readAll("blade"),
    // Only one's own: a dealer's phone holds everybody's trials, but grades as blind as any tester.
    readAll("trial", { where: { created_by: session?.member.id ?? "" } }),
    readAll("inspection", { where: { stone_id: id } }), readRuleSet(),
  ]);
  const latest = Object.values(latestByFace(inspections.map(({ record }) => record)));
  return {
    stone: stone?.record ?? null,
    inspected: latest.length > 0,
    heldBack: stone === null ? [] : latest
      .flatMap((inspection) => [...verdictsOf(stone.record, inspection, ruleSet?.record.rules ?? null).verdicts])
      .filter((verdict) => verdict.urgency === "before_use" || verdict.urgency === "reject"),
    protocols: protocols.map(({ record }) => record).sort((a, b) => a.name.localeCompare(b.name)),
    blades: blades.map(({ record }) => record),
    ownTrials: trials.map(({ record }) => record),
  };
}

/** The trial of a stone of the club, which is kept and sent. */
function OfStone({ bench, stone, form }: { bench: BenchData; stone: Stone; form: DraftForm }) {
  const { query } = useLocation();
  const changed = readChanged(form.values);
  const ending: Ending = {
    home: { href: `/stones/${stone.id}`, words: say.back(stone.code) },
    saveWords: say.save,
    save: (record, kept) =>
      saveRecord("trial", kept.record_id, record, changed?.base ?? null, { draft: kept.key, madeOn: changed?.made_on ?? null }),
    saved: (finished) => changed !== null
      ? <ChangeSaved stone={stone} recordId={finished.id} />
      : <Saved stone={stone} finished={finished} blades={untried(bench, stone, finished)} />,
  };
  return <Flow stone={stone} bench={bench} form={form} ending={ending} wanted={{ protocol: query["protocol"], blade: query["blade"] }} />;
}

/** Blades for the purpose that the tester has not had on this stone yet. */
function untried({ blades, ownTrials }: BenchData, stone: Stone, { protocol }: Finished): Blade[] {
  const tried = new Set(ownTrials.filter((t) => t.stone_id === stone.id && t.protocol_id === protocol.id).map((t) => t.blade_id));
  return blades.filter((blade) => blade.form === protocol.purpose && !tried.has(blade.id));
}

function Saved(props: { stone: Stone; finished: Finished; blades: readonly Blade[] }) {
  const { id, goOn } = props.finished;
  const seen = useLive(() => readOne("trial", id), [id]);
  return (
    <Page
      flow
      actions={
        <>
          <button type="button" class="button" onClick={() => goOn(null)}>{say.otherBlade}</button>
          <a class="button button-main" href={`/stones/${props.stone.id}`}>{say.toStone}</a>
        </>
      }
    >
      <Head title={say.saved}>
        <p><strong>{props.stone.code}</strong></p>
        {seen && <StateBadge state={seen.state} />}
        <p>{say.savedLead}</p>
        {seen?.state === "sent" && <a class="button" href="/mine">{sayMine.linkAfter}</a>}
      </Head>
      {props.blades.length === 0 && <p class="soft">{say.allTried}</p>}
      {props.blades.length > 0 && (
        <section class="stack">
          <Choice
            name={say.nextBlade}
            help={say.nextBladeHow}
            lay="rows"
            options={props.blades.map((blade) => ({ value: blade.id, words: blade.name, second: bladeWords(blade) }))}
            value={null}
            onChoose={goOn}
          />
        </section>
      )}
    </Page>
  );
}

function ChangeSaved({ stone, recordId }: { stone: Stone; recordId: string }) {
  const seen = useLive(() => readOne("trial", recordId), [recordId]);
  return (
    <Page flow actions={<a class="button button-main" href={`/stones/${stone.id}`}>{say.toStone}</a>}>
      <Head title={sayChange.saved}>
        <p><strong>{stone.code}</strong></p>
        {seen && <StateBadge state={seen.state} />}
        <p>{sayChange.savedLead}</p>
      </Head>
    </Page>
  );
}
