import { useLocation } from "preact-iso";
import { useEffect, useState } from "preact/hooks";
import type { Blade, Protocol, Stone } from "../../domain/records";
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
import { useDraftForm, type DraftForm, type Values } from "../useDraftForm";
import { ChangeTrial } from "./Change";
import { readChanged, toChangedTrial } from "./changed";
import { nextBlade, readTrialDraft, stepsOf, toTrial } from "./draft";
import { Review } from "./Review";
import { bladeWords, Setup } from "./Setup";
import { Step } from "./Step";
import { useWakeLock } from "./useWakeLock";

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
      {(form) => <Bench bench={bench} stone={stone} form={form} />}
    </ChangeTrial>
  );
}

function NewTrial({ bench, stone }: { bench: BenchData; stone: Stone }) {
  const form = useDraftForm({ key: `trial:${stone.id}`, kind: "trial", about_id: stone.id });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <Bench bench={bench} stone={stone} form={form} />;
}

async function readBench(id: string) {
  const [stone, protocols, blades, trials, inspections, ruleSet, session] = await Promise.all([
    readOne("stone", id), readAll("protocol"), readAll("blade"), readAll("trial", { where: { stone_id: id } }),
    readAll("inspection", { where: { stone_id: id } }), readRuleSet(), readSession(),
  ]);
  const latest = Object.values(latestByFace(inspections.map(({ record }) => record)));
  return {
    stone: stone?.record ?? null,
    inspected: latest.length > 0,
    // What the rules want done before anybody uses the stone.
    heldBack: stone === null ? [] : latest
      .flatMap((inspection) => [...verdictsOf(stone.record, inspection, ruleSet?.record.rules ?? null).verdicts])
      .filter((verdict) => verdict.urgency === "before_use" || verdict.urgency === "reject"),
    protocols: protocols.map(({ record }) => record).sort((a, b) => a.name.localeCompare(b.name)),
    blades: blades.map(({ record }) => record),
    // Only one's own: a dealer's phone holds everybody's trials, but grades as blind as any tester.
    ownTrials: trials.map(({ record }) => record).filter((trial) => trial.created_by === session?.member.id),
  };
}

type BenchData = Awaited<ReturnType<typeof readBench>>;

function Bench({ bench, stone, form }: { bench: BenchData; stone: Stone; form: DraftForm }) {
  const { query } = useLocation();
  const draft = readTrialDraft(form.values);
  /** A tester who comes back sees the set-up once more and goes on from there, knowing what lies on the bench. */
  const changed = readChanged(form.values);
  const [begun, setBegun] = useState(changed !== null);
  const [saving, setSaving] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  const [saved, setSaved] = useState<{ id: string; protocol: Protocol; next: Values } | null>(null);
  useWakeLock();

  // A link from the bench may name protocol and blade; it fills in what is still empty, and no answers.
  const wanted = {
    protocol: bench.protocols.find((p) => p.id === query["protocol"]) ?? (bench.protocols.length === 1 ? bench.protocols[0] : undefined),
    blade: bench.blades.find((b) => b.id === query["blade"]),
  };
  const { set } = form;
  const setProtocol = draft.protocol === null && form.draft === null && query["protocol"] !== undefined ? wanted.protocol : undefined;
  useEffect(() => {
    if (setProtocol) set({ protocol: setProtocol, ...(wanted.blade ? { blade_id: wanted.blade.id } : {}) });
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once, when the link's protocol has been read
  }, [setProtocol?.id]);

  const go = (at: string | null): void => {
    if (at === null) setBegun(false);
    else {
      setBegun(true);
      set({ at });
    }
  };

  if (saved !== null && changed !== null) return <ChangeSaved stone={stone} recordId={saved.id} />;
  if (saved !== null) {
    const tried = new Set(bench.ownTrials.filter((t) => t.protocol_id === saved.protocol.id).map((t) => t.blade_id));
    return (
      <Saved
        stone={stone}
        recordId={saved.id}
        blades={bench.blades.filter((blade) => blade.form === saved.protocol.purpose && !tried.has(blade.id))}
        onNext={(blade_id) => {
          // With a blade chosen there is nothing left to ask: the bench is laid, the cautions were read just now.
          const begin = { blade_id, at: stepsOf(saved.protocol, true)[0]?.id ?? "review", started_at: new Date().toISOString() };
          set({ ...saved.next, ...(blade_id === null ? {} : begin) });
          setSaved(null);
          setBegun(blade_id !== null);
        }}
      />
    );
  }

  const protocol = draft.protocol;
  const bladeName = bench.blades.find((blade: Blade) => blade.id === draft.blade_id)?.name ?? "";
  if (!begun || protocol === null) {
    return (
      <Setup
        stone={stone}
        changing={changed !== null}
        protocols={changed === null || protocol === null ? bench.protocols : [protocol]}
        blades={bench.blades}
        ownTrials={bench.ownTrials}
        inspected={bench.inspected}
        heldBack={bench.heldBack}
        draft={draft}
        form={form}
        onBegin={() => {
          if (protocol === null) return;
          const first = stepsOf(protocol, draft.brief)[0]?.id ?? "review";
          set({ at: draft.at ?? first, started_at: draft.started_at ?? new Date().toISOString() });
          setBegun(true);
        }}
      />
    );
  }

  const save = async (): Promise<void> => {
    setSaving(true);
    setFailed(null);
    try {
      const kept = await form.settled();
      const record = changed === null ? toTrial(draft, stone.id, new Date().toISOString()) : toChangedTrial(form.values, stone.id);
      if (kept === null || record === null) throw new Error(say.choose);
      await saveRecord("trial", kept.record_id, record, changed?.base ?? null, { draft: kept.key, madeOn: changed?.made_on ?? null });
      setSaved({ id: kept.record_id, protocol, next: nextBlade(draft) });
      form.clear();
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    } finally {
      setSaving(false);
    }
  };

  const step = stepsOf(protocol, draft.brief).find((s) => s.id === draft.at)
    ?? stepsOf(protocol, false).find((s) => s.id === draft.at);
  if (!step) {
    return (
      <Review
        stone={stone}
        protocol={protocol}
        bladeName={bladeName}
        draft={draft}
        changing={changed === null ? null : form.draft === null ? "untouched" : "touched"}
        saving={saving}
        failed={failed}
        onGo={go}
        onSave={() => void save()}
      />
    );
  }
  return <Step stone={stone} protocol={protocol} step={step} bladeName={bladeName} draft={draft} form={form} onGo={go} />;
}

function Saved(props: { stone: Stone; recordId: string; blades: readonly Blade[]; onNext: (bladeId: string | null) => void }) {
  const seen = useLive(() => readOne("trial", props.recordId), [props.recordId]);
  return (
    <Page
      flow
      actions={
        <>
          <button type="button" class="button" onClick={() => props.onNext(null)}>{say.otherBlade}</button>
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
            onChoose={props.onNext}
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
