import { useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import type { Blade, OwnFields, Protocol, Stone, Trial, Verdict } from "../../domain/records";
import type { Draft } from "../../store/db";
import { trial as say } from "../../words/trial";
import type { DraftForm } from "../useDraftForm";
import { readChanged, toChangedTrial } from "./changed";
import { nextBlade, readTrialDraft, stepsOf, toTrial } from "./draft";
import { Review } from "./Review";
import { Setup } from "./Setup";
import { started } from "./start";
import { Step } from "./Step";
import { useWakeLock } from "./useWakeLock";

/** Everything a trial of one stone is made from. */
export interface BenchData {
  readonly protocols: readonly Protocol[];
  readonly blades: readonly Blade[];
  /** The tester's own, of any stone. */
  readonly ownTrials: readonly Trial[];
  readonly inspected: boolean;
  /** What the rules want done before anybody uses the stone. */
  readonly heldBack: readonly Verdict[];
}

/** A trial that is finished: its record, and the way to the next blade on the same stone. */
export interface Finished {
  readonly id: string;
  readonly record: OwnFields<"trial">;
  readonly protocol: Protocol;
  /** With a blade: straight to its first step. null: back to the set-up. */
  readonly goOn: (bladeId: string | null) => void;
}

/** What becomes of the trial; the steps are the same for one that goes to the club and one for practice. */
export interface Ending {
  /** Where leaving leads. */
  readonly home: { readonly href: string; readonly words: string };
  readonly save: (record: OwnFields<"trial">, kept: Draft) => Promise<void>;
  readonly saveWords: string;
  readonly saved: (finished: Finished) => ComponentChildren;
}

/** Set-up, the protocol's steps, review, and whatever the ending makes of it. */
export function Flow(props: {
  stone: Stone;
  bench: BenchData;
  form: DraftForm;
  ending: Ending;
  /** Protocol and blade that a link names. */
  wanted?: { readonly protocol: string | undefined; readonly blade: string | undefined };
}) {
  const { stone, bench, ending } = props;
  const form = started(props.form, bench, props.wanted);
  const draft = readTrialDraft(form.values);
  const changed = readChanged(form.values);
  /** A tester who comes back sees the set-up once more and goes on from there, knowing what lies on the bench. */
  const [begun, setBegun] = useState(changed !== null);
  const [saving, setSaving] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  const [saved, setSaved] = useState<Finished | null>(null);
  useWakeLock();

  const { set } = form;
  const go = (at: string | null): void => {
    if (at === null) setBegun(false);
    else {
      setBegun(true);
      set({ at });
    }
  };

  if (saved !== null) return <>{ending.saved(saved)}</>;

  const protocol = draft.protocol;
  const bladeName = bench.blades.find((blade) => blade.id === draft.blade_id)?.name ?? "";
  if (!begun || protocol === null) {
    return (
      <Setup
        stone={stone}
        home={ending.home}
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
      await ending.save(record, kept);
      const next = nextBlade(draft);
      setSaved({
        id: kept.record_id, record, protocol,
        goOn: (blade_id) => {
          // With a blade chosen there is nothing left to ask: the bench is laid, the cautions were read just now.
          const begin = { blade_id, at: stepsOf(protocol, true)[0]?.id ?? "review", started_at: new Date().toISOString() };
          set({ ...next, ...(blade_id === null ? {} : begin) });
          setSaved(null);
          setBegun(blade_id !== null);
        },
      });
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
        home={ending.home}
        saveWords={ending.saveWords}
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
  return <Step key={step.id} stone={stone} home={ending.home} protocol={protocol} step={step} bladeName={bladeName} draft={draft} form={form} onGo={go} />;
}
