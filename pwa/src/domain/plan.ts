/** Which trials would teach most, as the service proposes them, and what the dealer asks for. */
import type { Purpose } from "./records";

/** Who tries which stone with which steel. */
export interface Who {
  readonly tester_id: string;
  readonly stone_id: string;
  readonly steel: string;
}

export interface PlannedTrial extends Who {
  /** The scale that it narrows. */
  readonly scale: string;
  /** What it takes away of what stands in the way, over all stones, grades². Orders the plan; null: not weighed. */
  readonly expected_gain: number | null;
  /** Half of the stone's 90 % interval, grades, when this trial's turn comes, and once it is in. */
  readonly half_width_before: number | null;
  readonly half_width_after: number | null;
  /** It makes groups of stones comparable. */
  readonly links: boolean;
  /** Named by the dealer when the plan was weighed, not proposed. */
  readonly settled: boolean;
  /** The tester had the stone when the plan was made. */
  readonly in_hands: boolean;
  /** What it brings, in the service's words; empty: not weighed. */
  readonly why: readonly string[];
}

/** A stone that wants trials and something else first. */
export interface LeftOut {
  readonly stone_id: string;
  readonly because: string;
}

export interface Plan {
  readonly purpose: Purpose;
  /** The scale that was planned for first; null: there was nothing to plan from. */
  readonly scale: string | null;
  readonly target_half_width: number;
  /** Of stones that can be compared; more than one asks for linking trials. */
  readonly groups: number;
  /** Trials asked of somebody already: counted as done. */
  readonly underway: number;
  /** The best first; linking ones before all others. */
  readonly trials: readonly PlannedTrial[];
  readonly left_out: readonly LeftOut[];
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
  /** Trials that the dealer has chosen; they come first, and n counts them. */
  readonly settled: readonly Who[];
}

/**
 * The most trials for each tester unless the dealer says otherwise: twice an even share. Without it the steadiest
 * tester would be asked to do nearly all, which teaches most and nobody does.
 */
export const shareOf = (n: number, testers: number): number => Math.max(1, Math.ceil((2 * n) / Math.max(1, testers)));

/** `testers`: the ids of those who are asked about; a limit of somebody who has left is not passed on. */
export function requestOf(purpose: Purpose, wish: PlanWish, testers: readonly string[], settled: readonly Who[] = []): PlanRequest {
  const taking = testers.filter((id) => !wish.out.includes(id));
  const each = wish.each ?? shareOf(wish.n, taking.length);
  const limits = testers.map((id): [string, number] => [id, taking.includes(id) ? wish.most[id] ?? each : 0]);
  return {
    purpose,
    n: settled.length > 0 ? settled.length : wish.n,
    scale: null,
    most_trials: Object.fromEntries(limits),
    stone_ids: wish.stone_id === null ? null : [wish.stone_id],
    settled: settled.map(({ tester_id, stone_id, steel }) => ({ tester_id, stone_id, steel })),
  };
}

export interface Errand extends PlannedTrial {
  /** Its place in the whole plan, from 1. */
  readonly place: number;
}

export const errandsOf = (trials: readonly PlannedTrial[]): Errand[] => trials.map((trial, i) => ({ ...trial, place: i + 1 }));

/** One list a tester; whose first trial is worth most comes first, and each list keeps the plan's order. */
export function byTester(trials: readonly PlannedTrial[]): { readonly tester_id: string; readonly errands: readonly Errand[] }[] {
  const lists = new Map<string, Errand[]>();
  for (const errand of errandsOf(trials)) lists.set(errand.tester_id, [...(lists.get(errand.tester_id) ?? []), errand]);
  return [...lists].map(([tester_id, errands]) => ({ tester_id, errands }));
}

export const keyOf = ({ tester_id, stone_id, steel }: Who): string => `${tester_id} ${stone_id} ${steel}`;
export const isSame = (a: Who, b: Who): boolean => keyOf(a) === keyOf(b);

/** A trial of the dealer's own choice that nobody has weighed. */
export const unweighed = ({ tester_id, stone_id, steel }: Who, scale: string): PlannedTrial => ({
  tester_id, stone_id, steel, scale, expected_gain: null, half_width_before: null, half_width_after: null,
  links: false, settled: true, in_hands: false, why: [],
});

/** The plan with one line put in another's place, or left out. Figures are those of before; a new line has none. */
export function changed(plan: Plan, line: Who, to: Who | null): Plan {
  const there = to !== null && plan.trials.some((trial) => isSame(trial, to) && !isSame(trial, line));
  const trials = plan.trials.flatMap((trial): PlannedTrial[] => {
    if (!isSame(trial, line)) return [trial];
    // What is in the plan already is not put in twice.
    return to === null || there ? [] : [unweighed(to, trial.scale)];
  });
  return { ...plan, trials };
}

/**
 * The lines in the order they have, with the figures of a new weighing where it has them. Lines that were asked for
 * meanwhile were not weighed again and keep theirs.
 *
 * @param drafted the plan as the dealer has it   @param weighed the service's answer to it
 */
export function reweighed(drafted: Plan, weighed: Plan): Plan {
  const found = new Map(weighed.trials.map((trial) => [keyOf(trial), trial]));
  return { ...weighed, trials: drafted.trials.map((trial) => found.get(keyOf(trial)) ?? trial) };
}
