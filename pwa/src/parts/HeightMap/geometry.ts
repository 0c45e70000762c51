/** What the picture of a face's heights is drawn from: bands, lines and where their numbers stand. Pure. */

import type { FlatnessReading } from "../../domain/records";
import { contour, contourStep, levelsBetween, type Contour } from "../../domain/soundness/contours";
import { surfaceOf } from "./surface";

export interface Run {
  readonly row: number;
  readonly from: number;
  readonly to: number;
  /** 0 is the lowest band. */
  readonly band: number;
}

export interface Label {
  readonly level: number;
  readonly i: number;
  readonly j: number;
}

export interface Drawn {
  readonly fitted: boolean;
  readonly columns: number;
  readonly rows: number;
  readonly step_um: number;
  readonly lowest_um: number;
  readonly highest_um: number;
  readonly nBands: number;
  readonly runs: readonly Run[];
  readonly contours: readonly Contour[];
  readonly labels: readonly Label[];
  readonly highest: { readonly i: number; readonly j: number };
  readonly lowest: { readonly i: number; readonly j: number };
}

const cells = 72;
const mostLines = 7;
const leastClear = 4;

export function drawHeights(readings: readonly FlatnessReading[], face: { length_mm: number; width_mm: number }): Drawn {
  const columns = cells;
  const rows = Math.max(12, Math.round((cells * face.width_mm) / face.length_mm));
  const { fitted, values } = surfaceOf(readings, face, columns, rows);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const step = contourStep(high - low, mostLines);
  const levels = levelsBetween(low, high, step);
  const bandOf = (z: number): number => levels.filter((level) => z >= level).length;
  const runs: Run[] = [];
  for (let row = 0; row < rows; row++) {
    for (let i = 0; i < columns; i++) {
      const band = bandOf(values[row * columns + i] ?? 0);
      const last = runs.at(-1);
      if (last !== undefined && last.row === row && last.band === band) runs[runs.length - 1] = { ...last, to: i + 1 };
      else runs.push({ row, from: i, to: i + 1, band });
    }
  }
  const contours = levels.map((level) => contour({ columns, rows, values }, level)).filter((one) => one.segments.length > 0);
  const at = (k: number) => ({ i: (k % columns) + 0.5, j: Math.floor(k / columns) + 0.5 });
  const extreme = (better: (a: number, b: number) => boolean): number =>
    values.reduce((best, z, k) => (better(z, values[best] ?? 0) ? k : best), 0);
  const highest = at(extreme((a, b) => a > b));
  const lowest = at(extreme((a, b) => a < b));
  return {
    fitted, columns, rows, step_um: step, lowest_um: low, highest_um: high, nBands: levels.length + 1, runs, contours, highest, lowest,
    labels: placeLabels(contours, columns, rows, [highest, lowest]),
  };
}

/** One number on each line, as far as possible from the others, from the words, and from the edges. */
function placeLabels(contours: readonly Contour[], columns: number, rows: number, taken: readonly { i: number; j: number }[]): Label[] {
  const placed: { i: number; j: number }[] = [...taken];
  return contours.flatMap(({ level, segments }): Label[] => {
    const clear = ({ i, j }: { i: number; j: number }): number => {
      const edge = Math.min(i, columns - i, 1.6 * j, 1.6 * (rows - j));
      return Math.min(...placed.map((p) => Math.hypot(p.i - i, 1.6 * (p.j - j))), 2 * edge);
    };
    const middles = segments.map(([p, q]) => ({ i: (p.i + q.i) / 2, j: (p.j + q.j) / 2 }));
    const best = middles.reduce((most, one) => (clear(one) > clear(most) ? one : most), middles[0] ?? { i: 0, j: 0 });
    // A line that only cuts off a tip has no room for its number; its neighbours tell it.
    if (clear(best) < leastClear) return [];
    placed.push(best);
    return [{ level, ...best }];
  });
}
