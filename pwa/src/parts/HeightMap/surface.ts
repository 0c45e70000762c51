/** The heights that the picture shows: the smooth surface through the readings where it fits them, else filled in. Pure. */

import type { FlatnessReading } from "../../domain/records";
import { heightPicture } from "../../domain/soundness";
import { heightsOver, leastSquaresPlane } from "../../domain/soundness/flatness";
import { leastSquares } from "../../domain/soundness/linear";
import { faceSize } from "../../domain/units";

export interface Surface {
  readonly fitted: boolean;
  /** Row by row, from one end of the face to the other. */
  readonly values: readonly number[];
}

/** The smooth surface is shown if it leaves no more than this share of the heights' spread unexplained. */
const unexplained = 0.3;

const terms = (u: number, v: number): number[] => [1, u, v, u * v, u * u, v * v];

/**
 * Heights over the best plane. A bent and twisted sheet (second order in both directions, by least squares) is what
 * wear makes of a face, and it needs more readings than it has terms to be tested against them; where it misses them,
 * or they are few, the picture is only filled in between the readings.
 */
export function surfaceOf(
  readings: readonly FlatnessReading[], face: { length_mm: number; width_mm: number }, columns: number, rows: number,
): Surface {
  const over = heightsOver(readings, leastSquaresPlane(readings));
  const at = (r: FlatnessReading): number[] => terms((2 * r.x_mm) / face.length_mm - 1, (2 * r.y_mm) / face.width_mm - 1);
  const fit = readings.length < 8 ? null : leastSquares(readings.map(at), over, 1e-6);
  const height = (row: readonly number[]): number => row.reduce((sum, term, k) => sum + term * (fit?.[k] ?? 0), 0);
  const spread = over.reduce((sum, z) => sum + z * z, 0);
  const missed = readings.reduce((sum, r, i) => sum + ((over[i] ?? 0) - height(at(r))) ** 2, 0);
  if (fit === null || missed > unexplained ** 2 * spread) {
    return { fitted: false, values: heightPicture(readings, faceSize(face.length_mm, face.width_mm), columns, rows).heights_um };
  }
  const step = (k: number, n: number): number => (2 * k) / (n - 1) - 1;
  return {
    fitted: true,
    values: Array.from({ length: columns * rows }, (_, k) => height(terms(step(k % columns, columns), step(Math.floor(k / columns), rows)))),
  };
}
