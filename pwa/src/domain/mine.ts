/** Where one tester's grades stand against the panel. Pure. */
import type { CalibratedTester } from "./calibration";
import type { PooledScale, StoneGrade } from "./pooled";
import type { Trial } from "./records";

/** One stone on one scale: what I gave, and what the panel makes of it. */
export interface AgainstPanel {
  readonly stone_id: string;
  /** My grades, in the order given. */
  readonly own: readonly number[];
  readonly mean: number;
  readonly panel: StoneGrade;
  /** My mean less the panel's grade. */
  readonly gap: number;
  /** My mean lies outside the panel's 90 % interval. */
  readonly outside: boolean;
}

/**
 * Every stone that I have graded on the scale, the furthest from the panel first.
 *
 * @param trials my own, of the scale's purpose; withdrawn and left-out ones do not count
 */
export function againstPanel(scale: PooledScale, trials: readonly Trial[]): AgainstPanel[] {
  const given = new Map<string, number[]>();
  for (const trial of [...trials].sort((a, b) => a.finished_at.localeCompare(b.finished_at))) {
    const grade = trial.grades[scale.scale];
    if (grade === undefined || trial.withdrawn !== null || trial.excluded !== null) continue;
    given.set(trial.stone_id, [...(given.get(trial.stone_id) ?? []), grade]);
  }
  return scale.stones
    .flatMap((panel): AgainstPanel[] => {
      const own = given.get(panel.stone_id);
      if (own === undefined || panel.n_trials === 0) return [];
      const mean = own.reduce((sum, grade) => sum + grade, 0) / own.length;
      return [{ stone_id: panel.stone_id, own, mean, panel, gap: mean - panel.grade, outside: mean < panel.low90 || mean > panel.high90 }];
    })
    .sort((a, b) => Math.abs(b.gap) - Math.abs(a.gap));
}

/** What may be said of a tester's level, and how strongly. */
export type Lean =
  /** The interval leaves no room for the other side. */
  | { readonly kind: "severe" | "mild"; readonly steps: number }
  /** Close to the panel, and known well enough to say so. */
  | { readonly kind: "level" }
  /** The interval is too wide to say anything. */
  | { readonly kind: "unknown" };

/** Beyond this half width (in steps of a whole level) a lean around zero is not called level. */
const knownWithin = 0.5;

export function leanOf(tester: Pick<CalibratedTester, "severity" | "severity_low90" | "severity_high90">): Lean {
  const { severity, severity_low90: low, severity_high90: high } = tester;
  if (low > 0) return { kind: "severe", steps: severity };
  if (high < 0) return { kind: "mild", steps: -severity };
  return (high - low) / 2 <= knownWithin ? { kind: "level" } : { kind: "unknown" };
}

/** Whether a repeat on a check stone would settle something: the level seems to have moved, and no check says otherwise. */
export function wantsCheck(tester: Pick<CalibratedTester, "drift" | "check_drift">): boolean {
  if (tester.check_drift?.state === "moved") return true;
  return tester.drift?.state === "moved" && tester.check_drift?.state !== "steady";
}

/** Compared with the average trial of the club. */
export const steadiness = (weight: number): "steadier" | "alike" | "less" => (weight >= 1.2 ? "steadier" : weight <= 0.8 ? "less" : "alike");
