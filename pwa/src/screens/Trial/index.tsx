import { useLocation } from "preact-iso";
import { useEffect, useState } from "preact/hooks";
import type { Blade, Protocol, Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { readAll, readOne, readRuleSet, readSession } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { saveRecord } from "../../sync/commands";
import { trial as say } from "../../words/trial";
import { verdictsOf } from "../Stone/verdictsOf";
import { latestByFace } from "../Stones/state";
import { useDraftForm, type DraftForm, type Values } from "../useDraftForm";
import { nextBlade, readTrialDraft, stepsOf, toTrial } from "./draft";
import { Review } from "./Review";
import { bladeWords, Setup } from "./Setup";
import { Step } from "./Step";
import { useWakeLock } from "./useWakeLock";

/** A guided trial of one stone with one blade: set-up, the protocol's steps, review, saved. */
export function Trial({ id }: { readonly id: string }) {
  const bench = useLive(() => readBench(id), [id]);
  const form = useDraftForm({ key: `trial:${id}`, kind: "trial", about_id: id });
  if (bench === undefined || form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (bench.stone === null) return <Page><p>{say.noStone}</p></Page>;
  return <Bench key={id} bench={bench} stone={bench.stone} form={form} />;
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
  const [begun, setBegun] = useState(false);
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
        protocols={bench.protocols}
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
      const record = toTrial(draft, stone.id, new Date().toISOString());
      if (kept === null || record === null) throw new Error(say.choose);
      await saveRecord("trial", kept.record_id, record, null, { draft: kept.key });
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
