import { useEffect, useRef, useState } from "preact/hooks";
import { askingFor } from "../../domain/assignments";
import { keyOf, type Who } from "../../domain/plan";
import type { Assignment, Purpose } from "../../domain/records";
import { readDone, readOpenAssignments } from "../../store/assignments";
import { useLive } from "../../store/live";
import type { PlanAnswer } from "../../store/plan";
import { newId, saveRecord } from "../../sync/commands";
import { asked as say } from "../../words/asked";

export interface AskView {
  readonly isAsked: (trial: Who) => boolean;
  /** The tester has made it since the plan was proposed. */
  readonly isDone: (trial: Who) => boolean;
  /** Asks for each of them that is not asked for yet. */
  readonly ask: (trials: readonly Who[]) => Promise<void>;
  readonly dueOn: string | null;
  readonly setDueOn: (day: string | null) => void;
  readonly trouble: string | null;
}

/** It is asked for, or done: nothing is left to do about it here. */
export const isGone = (asking: AskView, trial: Who): boolean => asking.isAsked(trial) || asking.isDone(trial);

/** Asking for planned trials; undefined until it is known what is asked for already. */
export function useAsk(purpose: Purpose, plan: PlanAnswer | null): AskView | undefined {
  const open: readonly Assignment[] | undefined = useLive(() => readOpenAssignments(null), []);
  const done = useLive(async () => (plan === null ? [] : readDone<Who>(plan.answer.trials, purpose, plan.proposed_at)), [plan, purpose]);
  /** Saved a moment ago, and not yet seen in the store: a second tap must not ask twice. */
  const underway = useRef(new Set<string>());
  const [dueOn, setDueOn] = useState<string | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  useEffect(() => {
    for (const asked of open ?? []) if (asked.purpose === purpose && asked.steel !== null) underway.current.delete(keyOf({ ...asked, steel: asked.steel }));
  }, [open, purpose]);
  if (open === undefined) return undefined;
  const isAsked = (trial: Who): boolean => askingFor(open, trial, purpose) !== undefined;
  const doneKeys = new Set((done ?? []).map(keyOf));
  return {
    isAsked, isDone: (trial) => doneKeys.has(keyOf(trial)), dueOn, setDueOn, trouble,
    ask: async (trials) => {
      setTrouble(null);
      for (const trial of trials) {
        const key = keyOf(trial);
        if (isAsked(trial) || doneKeys.has(key) || underway.current.has(key)) continue;
        underway.current.add(key);
        try {
          const { stone_id, tester_id, steel } = trial;
          await saveRecord("assignment", newId(), { stone_id, tester_id, purpose, steel, due_on: dueOn, notes: "" }, null);
        } catch (error) {
          underway.current.delete(key);
          setTrouble(say.failed(error instanceof Error ? error.message : String(error)));
          return;
        }
      }
    },
  };
}
