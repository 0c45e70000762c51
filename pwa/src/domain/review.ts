/** One stone's grades with the account of every trial, as the service answers them (GET /stones/<id>/review). Read only. */
import type { PooledScale, StoneGrade } from "./pooled";
import type { Face, Purpose } from "./records";

export interface Estimate {
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
}

/** counts: pooled. excluded: the dealer left it out. off_scale: today's scale has no such grade. not_yet: came in since. */
export type TrialState = "counts" | "excluded" | "off_scale" | "not_yet";

/** One trial on one scale. What the pooling made of it is null where it does not count. Lengths in grades. */
export interface ReviewTrial {
  readonly trial_id: string;
  readonly tester_id: string | null;
  readonly blade_id: string;
  readonly steel: string;
  readonly face: Face;
  readonly finished_at: string;
  readonly reported: number;
  readonly state: TrialState;
  readonly excluded: { readonly at: string; readonly by: string; readonly reason: string } | null;
  /** How far below the panel this tester grades. */
  readonly severity: number | null;
  /** How far stones come out higher with this steel. */
  readonly steel_lean: number | null;
  /** reported + severity − steel_lean */
  readonly corrected: number | null;
  readonly expected: number | null;
  readonly residual: number | null;
  readonly standardised: number | null;
  readonly pull: number | null;
  readonly flag: "" | "low" | "high" | null;
  /** How far the stone's grade follows when this trial alone reads a grade higher. */
  readonly weight: number | null;
  /** The stone's grade once this trial and the earlier ones were in. */
  readonly after: Estimate | null;
}

export interface ReviewScale {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly converged: boolean;
  readonly level_note: string;
  readonly stone: StoneGrade | null;
  readonly signs: {
    readonly used: boolean;
    readonly reason: string;
    readonly check: {
      readonly foretold: number;
      readonly foretold_sd: number;
      readonly gap: number;
      readonly leading: string | null;
    } | null;
  };
  readonly before: Estimate | null;
  /** What of the grade rests on other stones, an agreed grade and the signs: 1 − the sum of the weights. */
  readonly borrowed: number | null;
  readonly trials: readonly ReviewTrial[];
}

export interface Review {
  readonly stone_id: string;
  readonly purpose: Purpose;
  readonly method_version: string;
  readonly revision: number;
  readonly computed_at: string;
  readonly behind: boolean;
  readonly scales: readonly ReviewScale[];
}

/** A trial that counts, with its figures there. */
export type Counted = ReviewTrial & {
  readonly corrected: number; readonly expected: number; readonly residual: number; readonly standardised: number;
  readonly pull: number; readonly weight: number; readonly after: Estimate;
};

export const isCounted = (trial: ReviewTrial): trial is Counted => trial.state === "counts" && trial.after !== null;

/** Trials whose grade sticks out, the furthest first. */
export const outliers = (scale: ReviewScale): Counted[] =>
  scale.trials.filter(isCounted)
    .filter((trial) => trial.flag === "low" || trial.flag === "high")
    .sort((a, b) => Math.abs(b.standardised) - Math.abs(a.standardised));

/** The trial furthest from what was expected of it; null without any. */
export const furthest = (scale: ReviewScale): Counted | null =>
  scale.trials.filter(isCounted).reduce<Counted | null>(
    (far, trial) => (far === null || Math.abs(trial.standardised) > Math.abs(far.standardised) ? trial : far), null);

/** Keys of the steels that the stone was tried with, always in the same order, so that each keeps its shape. */
export const steelsTried = (review: Review): string[] =>
  [...new Set(review.scales.flatMap((scale) => scale.trials.map((trial) => trial.steel)))].sort();

/** What leaving out or taking in a trial does to one scale. */
export interface Effect {
  readonly scale: string;
  readonly name: string;
  readonly now: StoneGrade | null;
  readonly then: StoneGrade | null;
}

/** The stone's grades now beside those of a what-if, for the scales that the trial graded. */
export function effects(review: Review, trialId: string, then: readonly PooledScale[]): Effect[] {
  return review.scales.flatMap((scale): Effect[] => {
    if (!scale.trials.some((trial) => trial.trial_id === trialId)) return [];
    const other = then.find((one) => one.scale === scale.scale);
    return [{
      scale: scale.scale,
      name: scale.name,
      now: scale.stone,
      then: other?.stones.find((stone) => stone.stone_id === review.stone_id) ?? null,
    }];
  });
}

/** Without a signal the kept pull tells about what leaving a trial out would do: nearly the same, in a straight line. */
export function foretold(review: Review, trialId: string): { readonly name: string; readonly by: number }[] {
  return review.scales.flatMap((scale) => {
    const trial = scale.trials.find((one) => one.trial_id === trialId);
    return trial?.pull == null ? [] : [{ name: scale.name, by: -trial.pull }];
  });
}
