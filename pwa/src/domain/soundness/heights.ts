/** A picture of the face's heights from a few readings: what to draw, not what to judge by. */

import type { FlatnessReading } from "../records";
import { um } from "../units";
import type { FaceSize, Um } from "../units";
import { heightsOver, leastSquaresPlane } from "./flatness";

/** Heights over the least-squares plane on a raster of cells, row by row from the near edge, and their range. */
export interface HeightPicture {
  readonly columns: number;
  readonly rows: number;
  readonly heights_um: readonly Um[];
  readonly lowest_um: Um;
  readonly highest_um: Um;
}

/**
 * Heights at the middles of `columns` × `rows` cells, by weighting the readings with the inverse square of their
 * distance. So the picture meets every reading, never goes beyond the highest and lowest, and invents no bump.
 * Distances are counted in lengths and widths, since readings lie closer across a stone than along it.
 */
export function heightPicture(
  readings: readonly FlatnessReading[],
  face: FaceSize,
  columns: number,
  rows: number,
): HeightPicture {
  const over = heightsOver(readings, leastSquaresPlane(readings));
  const places = readings.map((r, i) => ({
    u: r.x_mm / face.length_mm,
    v: r.y_mm / face.width_mm,
    height: over[i] ?? 0,
  }));
  const heights = Array.from({ length: columns * rows }, (_, k) =>
    um(heightAt(places, ((k % columns) + 0.5) / columns, (Math.floor(k / columns) + 0.5) / rows)),
  );
  return {
    columns,
    rows,
    heights_um: heights,
    lowest_um: um(Math.min(...over)),
    highest_um: um(Math.max(...over)),
  };
}

function heightAt(places: readonly { u: number; v: number; height: number }[], u: number, v: number): number {
  let sum = 0;
  let weights = 0;
  for (const place of places) {
    const square = (place.u - u) ** 2 + (place.v - v) ** 2;
    if (square < 1e-12) return place.height;
    sum += place.height / square;
    weights += 1 / square;
  }
  return sum / weights;
}
