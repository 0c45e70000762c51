/**
 * Grit numbers as grain sizes in µm, each in its own grading system, never past the end of a standard. The same number
 * means different sizes in different systems; a number the standard does not reach gets no size at all, for beyond it
 * a grit is its maker's own claim.
 */

import { gritText } from "../grit";
import type { GritSystem } from "../grit";
import type { GritBand } from "../records";
import { um } from "../units";
import type { Um } from "../units";
import { refuse } from "./refusal";

export type { GritSystem };

type Grade = readonly [number: number, um: number, tolerance: number | null];

export interface GradingSystem {
  readonly standard: string;
  /** How the standard measures its grains. */
  readonly method: string;
  readonly grades: readonly Grade[];
}

export const GRIT_SYSTEMS: Readonly<Record<GritSystem, GradingSystem>> = {
  jis: {
    standard: "JIS R 6001 (1987), precision grits",
    method: "electrical resistance, d50",
    grades: [
      [240, 57, 3], [280, 48, 3], [320, 40, 2.5], [360, 35, 2], [400, 30, 2], [500, 25, 2], [600, 20, 1.5],
      [700, 17, 1.3], [800, 14, 1], [1000, 11.5, 1], [1200, 9.5, 0.8], [1500, 8, 0.6], [2000, 6.7, 0.6],
      [2500, 5.5, 0.5], [3000, 4, 0.5], [4000, 3, 0.4], [6000, 2, 0.4], [8000, 1.2, 0.3],
    ],
  },
  fepa_f: {
    standard: "FEPA 42-2 / ISO 8486-2 microgrits",
    method: "photosedimentation, d50",
    grades: [
      [230, 53, 3], [240, 44.5, 2], [280, 36.5, 1.5], [320, 29.2, 1.5], [360, 22.8, 1.5], [400, 17.3, 1],
      [500, 12.8, 1], [600, 9.3, 1], [800, 6.5, 1], [1000, 4.5, 0.8], [1200, 3, 0.5], [1500, 2, 0.4],
      [2000, 1.2, 0.3],
    ],
  },
  fepa_p: {
    standard: "FEPA 43-2 / ISO 6344",
    method: "sieving to P220, then sedimentation; mean size",
    grades: [
      [12, 1815, null], [16, 1324, null], [20, 1000, null], [24, 764, null], [30, 642, null], [36, 538, null],
      [40, 425, null], [50, 336, null], [60, 269, null], [80, 201, null], [100, 162, null], [120, 125, null],
      [150, 100, null], [180, 82, null], [220, 68, null], [240, 58.5, 2], [280, 52.2, 2], [320, 46.2, 1.5],
      [360, 40.5, 1.5], [400, 35, 1.5], [500, 30.2, 1.5], [600, 25.8, 1], [800, 21.8, 1], [1000, 18.3, 1],
      [1200, 15.3, 1], [1500, 12.6, 1], [2000, 10.3, 0.8], [2500, 8.4, 0.5],
    ],
  },
};

/** The size of one grit number. `between` names its two neighbours if the number itself is not in the standard. */
export interface Grain {
  readonly system: GritSystem;
  readonly number: number;
  readonly um: Um;
  readonly tolerance_um: number | null;
  readonly between: readonly [number, number] | null;
}

/** A band told in another system. An end the system does not reach is null, and `beyond` says which way. */
export interface EquivalentBand {
  readonly system: GritSystem;
  readonly coarse: number | null;
  readonly fine: number | null;
  readonly beyond: readonly ("finer" | "coarser")[];
}

/**
 * The grain size of a grit number. Refused beyond the ends of its standard. Between two grades the size is
 * interpolated on logarithms of both, and marked as such.
 */
export function grain(system: GritSystem, number: number): Grain {
  const { grades } = GRIT_SYSTEMS[system];
  let below: Grade | undefined;
  for (const grade of grades) {
    if (grade[0] === number) {
      return { system, number, um: um(grade[1]), tolerance_um: grade[2], between: null };
    }
    if (grade[0] > number) {
      if (!below) throw beyond(system, grade, "coarser");
      const t = Math.log(number / below[0]) / Math.log(grade[0] / below[0]);
      const size = um(below[1] * (grade[1] / below[1]) ** t);
      return { system, number, um: size, tolerance_um: null, between: [below[0], grade[0]] };
    }
    below = grade;
  }
  throw beyond(system, below ?? [0, 0, null], "finer");
}

/** The two ends of a band, coarse and fine. Refused if they are the wrong way round. */
export function gritBand(band: GritBand): { readonly coarse: Grain; readonly fine: Grain } {
  if (band.low > band.high) throw refuse("low", "The lower number of a grit band comes first: swap the two.");
  return { coarse: grain(band.system, band.low), fine: grain(band.system, band.high) };
}

/**
 * The grades of another system nearest in size to the two ends of a band, on a logarithmic scale. An end farther out
 * than the system's last grade and its tolerance is not given. Sizes measured by different methods agree only roughly.
 */
export function equivalentBand(band: GritBand, system: GritSystem): EquivalentBand {
  const { coarse, fine } = gritBand(band);
  const [a, b] = [nearest(coarse.um, system), nearest(fine.um, system)];
  const words = [a, b].filter((x) => typeof x === "string");
  return {
    system,
    coarse: typeof a === "number" ? a : null,
    fine: typeof b === "number" ? b : null,
    beyond: [...new Set(words)],
  };
}

function nearest(size: Um, system: GritSystem): number | "finer" | "coarser" {
  const { grades } = GRIT_SYSTEMS[system];
  const [coarsest, finest] = [grades[0], grades.at(-1)];
  if (!coarsest || !finest) throw new Error("a grading system has grades");
  if (size < finest[1] - (finest[2] ?? 0)) return "finer";
  if (size > coarsest[1] + (coarsest[2] ?? 0)) return "coarser";
  const away = (grade: Grade): number => Math.abs(Math.log(grade[1] / size));
  return grades.reduce((best, grade) => (away(grade) < away(best) ? grade : best))[0];
}

function beyond(system: GritSystem, end: Grade, way: "finer" | "coarser"): Error {
  const { standard } = GRIT_SYSTEMS[system];
  return refuse(
    "number",
    `${standard} ends at ${gritText(end[0], system)} (${end[1]} µm): a ${way} number has no size there, only ` +
      "its maker's claim.",
  );
}
