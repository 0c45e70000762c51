/** Which trials would teach most, as the service proposes them, and what the dealer asks for. */
import type { Purpose } from "./records";

export interface PlannedTrial {
  readonly tester_id: string;
  readonly stone_id: string;
  readonly steel: string;
  /** Fall, over all stones, of the variance above what the club allows, grades². Orders the plan. */
  readonly expected_gain: number;
  /** Half of the stone's 90 % interval, grades, when this trial's turn comes, and once it is in. */
  readonly half_width_before: number;
  readonly half_width_after: number;
}

export interface Plan {
  readonly purpose: Purpose;
  /** The scale that was planned for; null: there was nothing to plan from. */
  readonly scale: string | null;
  readonly target_half_width: number;
  /** The best first. */
  readonly trials: readonly PlannedTrial[];
}

export const fewestTrials = 5;
export const mostTrials = 50;

/** What the dealer set on the screen. */
export interface PlanWish {
  readonly n: number;
  /** Testers who take no part. */
  readonly out: readonly string[];
  /** The most trials for each tester; null: a share that this code works out, see shareOf. */
  readonly each: number | null;
  /** The most trials for a tester, where the dealer set another number than for the rest. */
  readonly most: Readonly<Record<string, number>>;
  /** Plan for this stone only. */
  readonly stone_id: string | null;
}

/** What POST /plan takes. */
export interface PlanRequest {
  readonly purpose: Purpose;
  readonly n: number;
  readonly scale: string | null;
  readonly most_trials: Readonly<Record<string, number>>;
  readonly stone_ids: readonly string[] | null;
}

/**
 * The most trials for each tester unless the dealer says otherwise: twice an even share. Without it the steadiest
 * tester would be asked to do nearly all, which teaches most and nobody does.
 */
export const shareOf = (n: number, testers: number): number => Math.max(1, Math.ceil((2 * n) / Math.max(1, testers)));

/** `testers`: the ids of those who are asked about; a limit of somebody who has left is not passed on. */
export function requestOf(purpose: Purpose, wish: PlanWish, testers: readonly string[]): PlanRequest {
  const taking = testers.filter((id) => !wish.out.includes(id));
  const each = wish.each ?? shareOf(wish.n, taking.length);
  const limits = testers.map((id): [string, number] => [id, taking.includes(id) ? wish.most[id] ?? each : 0]);
  return {
    purpose,
    n: wish.n,
    scale: null,
    most_trials: Object.fromEntries(limits),
    stone_ids: wish.stone_id === null ? null : [wish.stone_id],
  };
}

export interface Errand extends PlannedTrial {
  /** Its place in the whole plan, from 1. */
  readonly place: number;
}

/** One list a tester; whose first trial is worth most comes first, and each list keeps the plan's order. */
export function byTester(trials: readonly PlannedTrial[]): { readonly tester_id: string; readonly errands: readonly Errand[] }[] {
  const lists = new Map<string, Errand[]>();
  trials.forEach((trial, i) => lists.set(trial.tester_id, [...(lists.get(trial.tester_id) ?? []), { ...trial, place: i + 1 }]));
  return [...lists].map(([tester_id, errands]) => ({ tester_id, errands }));
}
