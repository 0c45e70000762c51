/** How a tester stands, as the service answers it (GET /calibration). Read only. */
import type { Purpose } from "./records";

export interface DriftPoint {
  readonly trial_id: string;
  /** Moving average of grade minus expected grade, in scale units; below zero is more severe than usual. */
  readonly z: number;
  readonly low: number;
  readonly high: number;
}

export interface Drift {
  readonly state: "too_few" | "steady" | "moved";
  readonly n_trials: number;
  /** Position in time of the first trial after the likeliest change, from 0. */
  readonly since: number | null;
  /** Below zero: more severe than before. */
  readonly moved_by: number | null;
  readonly note: string;
  readonly points: readonly DriftPoint[];
}

/** The same on check stones. A tester is not told how many trials: that would tell which stones those are. */
export type CheckDrift = Omit<Drift, "n_trials"> & { readonly n_trials: number | null };

/** One trial of a check stone against the agreed grade (dealer, steward). */
export interface CheckTrial {
  readonly trial_id: string;
  readonly stone_id: string;
  readonly scale: string;
  readonly steel: string;
  readonly reported: number;
  readonly agreed: number;
  readonly agreed_sd: number;
  /** Reported less agreed; what the steel does is in it too. */
  readonly difference: number;
  readonly finished_at: string;
}

export interface CalibratedTester {
  readonly tester_id: string;
  /** Grades this much below the panel; positive is severe. In scale units. */
  readonly severity: number;
  readonly severity_low90: number;
  readonly severity_high90: number;
  readonly sigma: number;
  readonly sigma_low90: number;
  readonly sigma_high90: number;
  /** What a trial of this tester counts, against the average trial (1). */
  readonly weight: number;
  readonly n_trials: number;
  readonly note: string | null;
  readonly drift: Drift | null;
  readonly check_drift: CheckDrift | null;
  readonly drift_note: string;
  /** The oldest first; empty for the tester. */
  readonly check_record: readonly CheckTrial[];
  /** Where the grades of check stones lie on the whole. */
  readonly check_level: "too_few" | "below" | "level" | "above";
}

export interface CalibrationScale {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly testers: readonly CalibratedTester[];
}

export interface Calibration {
  readonly purpose: Purpose;
  readonly revision: number;
  readonly behind: boolean;
  readonly scales: readonly CalibrationScale[];
}

/** How far the grades of check stones lie from the agreed ones on the average; null without any. */
export const meanDifference = (record: readonly Pick<CheckTrial, "difference">[]): number | null =>
  record.length === 0 ? null : record.reduce((sum, one) => sum + one.difference, 0) / record.length;
