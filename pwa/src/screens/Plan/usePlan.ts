import { useState } from "preact/hooks";
import type { PlanWish, Who } from "../../domain/plan";
import type { Purpose } from "../../domain/records";
import { useLive } from "../../store/live";
import { readPlan, type PlanAnswer } from "../../store/plan";
import { askPlan, changePlan, type Asked } from "../../sync/pooled";

export interface PlanView {
  /** The last plan of this kind on this phone; null: there is none. */
  readonly kept: PlanAnswer | null;
  /** What was asked the last time, also for all stones when there is none for this one. */
  readonly wishBefore: PlanWish | null;
  /** How the last asking went; null: not asked yet. */
  readonly asked: Asked | "asking" | null;
  /** How the weighing of the last change went; null: nothing was changed since the plan was asked for. */
  readonly weighed: Asked | "asking" | null;
  /** Puts a line in another's place, or leaves it out (null). `asked`: which lines somebody was asked for already. */
  readonly change: (line: Who, to: Who | null, testers: readonly string[], asked: (line: Who) => boolean) => Promise<void>;
  readonly ask: (wish: PlanWish, testers: readonly string[]) => Promise<void>;
}

/** Planning for a purpose, or for one stone alone; the answer is kept and comes back from the store. */
export function usePlan(purpose: Purpose, stoneId: string | null): PlanView | undefined {
  const kept = useLive(async () => {
    const own = await readPlan(purpose, stoneId);
    return { own, before: own ?? (await readPlan(purpose, null)) };
  }, [purpose, stoneId]);
  const [asked, setAsked] = useState<Asked | "asking" | null>(null);
  const [weighed, setWeighed] = useState<Asked | "asking" | null>(null);
  if (kept === undefined) return undefined;
  return {
    kept: kept.own,
    wishBefore: kept.before?.wish ?? null,
    asked,
    weighed,
    change: async (line, to, testers, isAsked) => {
      if (kept.own === null) return;
      setWeighed("asking");
      setWeighed(await changePlan(kept.own, line, to, testers, isAsked));
    },
    ask: async (wish, testers) => {
      setAsked("asking");
      setWeighed(null);
      setAsked(await askPlan(purpose, wish, testers));
    },
  };
}
