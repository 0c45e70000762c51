/**
 * How flat a face is: minimum zone, least squares, dish and twist from height readings. Terms follow ISO 12781:
 * flatness is the distance from the highest peak to the lowest valley, measured from a reference plane. The minimum
 * zone is the closest pair of parallel planes that hold all readings, so it is never above the least-squares flatness.
 */

import type { Flatness as FlatnessValues, FlatnessReading } from "../records";
import { mm, um } from "../units";
import type { FaceSize, Mm, Um } from "../units";
import { leastSquares, simplexPrices } from "./linear";
import { refuse } from "./refusal";
import { round4 } from "./words";

export type FlatnessShape = "flat" | "hollow" | "crowned" | "twisted" | "uneven";

/** z = a + b·x + c·y, z in µm, x and y in mm. */
export interface Plane {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/**
 * The large shape of a face over its whole length and width, µm peak to valley; null where readings are few.
 * The dishes: how far the ends stand above the middle (negative: crowned). The twist: how far two opposite corners
 * stand above the other two. `mean_um`: the mean height of the fitted surface over the face.
 */
export interface Form {
  readonly dish_length_um: Um | null;
  readonly dish_width_um: Um | null;
  readonly twist_um: Um | null;
  readonly mean_um: Um;
}

/** What the readings say. A straightedge has no plane, so its `least_squares_um` and `form` are null. */
export interface Flatness {
  readonly method: "grid" | "straightedge";
  readonly flatness_um: Um;
  readonly least_squares_um: Um | null;
  readonly form: Form | null;
  readonly shape: FlatnessShape;
  readonly n_readings: number;
}

type Readings = readonly FlatnessReading[];

const STRAIGHT_RANK = 1e-9;

/** A reading may be noted this far off the face, since gauges and straightedges overhang. */
const OFF_MM = mm(5);

/**
 * Flatness of a face from its readings. Refused if there are too few, or they lie in one line, or off the face.
 * A straightedge's flatness is its largest gap, as the feeler-gauge method along the diagonals reads it; gaps count
 * without their sign.
 */
export function measureFlatness(values: FlatnessValues, face: FaceSize | null, field = "flatness.readings"): Flatness {
  const { method, readings } = values;
  if (face) {
    readings.forEach(({ x_mm, y_mm }, i) => {
      if (!within(x_mm, face.length_mm) || !within(y_mm, face.width_mm)) {
        throw refuse(`${field}.${i}`, "This reading lies off the face: check its place or the stone's sizes.");
      }
    });
  }
  const n_readings = readings.length;
  if (method === "straightedge") {
    if (n_readings < 2) {
      throw refuse(field, "A straightedge needs gaps at two places at least, one of them in the middle.");
    }
    const largest = um(Math.max(...readings.map((r) => Math.abs(r.height_um))));
    const shape = largest === 0 ? "flat" : face ? gapShape(readings, face) : "uneven";
    return { method, flatness_um: largest, least_squares_um: null, form: null, shape, n_readings };
  }
  const least = leastSquaresFlatness(readings, field);
  // Both are exact, so only rounding could put the minimum zone above the least squares.
  const flatness = um(Math.min(minimumZone(readings, field), least));
  const form = face ? fitForm(readings, face) : null;
  const shape = round4(flatness) <= 0 ? "flat" : form ? largestPart(form, flatness) : "uneven";
  return { method, flatness_um: flatness, least_squares_um: least, form, shape, n_readings };
}

const within = (x: number, size: Mm): boolean => x + OFF_MM >= 0 && x <= size + OFF_MM;

/** Peak to valley about the least-squares plane. */
export function leastSquaresFlatness(readings: Readings, field = "flatness.readings"): Um {
  return um(peakToValley(readings, leastSquaresPlane(readings, field)));
}

/** The plane with the least sum of squared distances along z. */
export function leastSquaresPlane(readings: Readings, field = "flatness.readings"): Plane {
  check(readings, field);
  const s = scaled(readings);
  const fit = leastSquares(s.points.map(([u, v]) => [1, u, v]), s.points.map(([, , z]) => z), 0);
  if (!fit) throw new Error("readings that do not lie in one line always have a plane");
  return s.plane(fit);
}

/**
 * Distance of the closest two parallel planes that hold all readings: the least t with
 * −t/2 ≤ z − (a + b·x + c·y) ≤ t/2. Solved through the dual programme, which has four rows however many readings.
 */
export function minimumZone(readings: Readings, field = "flatness.readings"): Um {
  check(readings, field);
  const s = scaled(readings);
  const above = s.points.map(([u, v]) => [1, u, v, 1]);
  const below = s.points.map(([u, v]) => [-1, -u, -v, 1]);
  const heights = s.points.map(([, , z]) => z);
  const prices = simplexPrices([...above, ...below], [0, 0, 0, 1], [...heights, ...heights.map((z) => -z)]);
  if (!prices) throw new Error("the flatness programme found no answer");
  return um(peakToValley(readings, s.plane(prices)));
}

/**
 * Dish along both ways and twist, by least squares, with as many terms as the readings can bear. With u and v from
 * −1 to 1 across the face: z = c0 + c1·u + c2·v + c3·u·v + c4·u² + c5·v². Where the readings cannot tell all six
 * apart the two dishes are left out, then the twist.
 */
export function fitForm(readings: Readings, face: FaceSize): Form {
  const terms = readings.map(({ x_mm, y_mm }) => {
    const u = (2 * x_mm) / face.length_mm - 1;
    const v = (2 * y_mm) / face.width_mm - 1;
    return [1, u, v, u * v, u * u, v * v];
  });
  const heights = readings.map((r) => r.height_um);
  const fit = (n: number): number[] | null =>
    readings.length < n ? null : leastSquares(terms.map((row) => row.slice(0, n)), heights, 1e-6);
  const all = fit(6);
  if (all) {
    const [c0 = 0, , , c3 = 0, c4 = 0, c5 = 0] = all;
    return {
      dish_length_um: um(c4),
      dish_width_um: um(c5),
      twist_um: um(2 * c3),
      mean_um: um(c0 + c4 / 3 + c5 / 3),
    };
  }
  const twisted = fit(4);
  if (twisted) {
    const [c0 = 0, , , c3 = 0] = twisted;
    return { dish_length_um: null, dish_width_um: null, twist_um: um(2 * c3), mean_um: um(c0) };
  }
  const plane = leastSquaresPlane(readings);
  const middle = plane.a + (plane.b * face.length_mm) / 2 + (plane.c * face.width_mm) / 2;
  return { dish_length_um: null, dish_width_um: null, twist_um: null, mean_um: um(middle) };
}

/** The word for the largest part of the form: hollow, crowned, twisted, or uneven if none explains much. */
function largestPart(form: Form, flatness: Um): FlatnessShape {
  const along = form.dish_length_um ?? 0;
  const across = form.dish_width_um ?? 0;
  // Rounded, so that a last bit cannot choose another word on the phone than on the server.
  const parts: { size: number; word: FlatnessShape }[] = [
    { size: round4(Math.abs(along)), word: along > 0 ? "hollow" : "crowned" },
    { size: round4(Math.abs(across)), word: across > 0 ? "hollow" : "crowned" },
    { size: round4(Math.abs(form.twist_um ?? 0)), word: "twisted" },
  ];
  const largest = parts.reduce((best, part) => (part.size > best.size ? part : best));
  return largest.size >= round4(0.5 * flatness) ? largest.word : "uneven";
}

/** The gap is widest in the middle of a hollow face, and towards the ends of a crowned one. */
function gapShape(readings: Readings, face: FaceSize): FlatnessShape {
  let inner = 0;
  let outer = 0;
  for (const { x_mm, y_mm, height_um } of readings) {
    const out = Math.max(Math.abs((2 * x_mm) / face.length_mm - 1), Math.abs((2 * y_mm) / face.width_mm - 1));
    if (out <= 0.5) inner = Math.max(inner, Math.abs(height_um));
    else outer = Math.max(outer, Math.abs(height_um));
  }
  return inner >= outer ? "hollow" : "crowned";
}

/** Height of each reading over a plane. */
export const heightsOver = (readings: Readings, plane: Plane): number[] =>
  readings.map((r) => r.height_um - (plane.a + plane.b * r.x_mm + plane.c * r.y_mm));

function peakToValley(readings: Readings, plane: Plane): number {
  const heights = heightsOver(readings, plane);
  return Math.max(...heights) - Math.min(...heights);
}

/** Readings moved and scaled to about ±1 in each direction, and the way back for a plane. */
function scaled(readings: Readings): {
  points: (readonly [number, number, number])[];
  plane: (fit: readonly number[]) => Plane;
} {
  const mean = (pick: (r: FlatnessReading) => number): number =>
    readings.reduce((sum, r) => sum + pick(r), 0) / readings.length;
  const [x0, y0, z0] = [mean((r) => r.x_mm), mean((r) => r.y_mm), mean((r) => r.height_um)];
  const reach = (pick: (r: FlatnessReading) => number, middle: number): number =>
    Math.max(...readings.map((r) => Math.abs(pick(r) - middle))) || 1;
  const [sx, sy, sz] = [reach((r) => r.x_mm, x0), reach((r) => r.y_mm, y0), reach((r) => r.height_um, z0)];
  return {
    points: readings.map((r) => [(r.x_mm - x0) / sx, (r.y_mm - y0) / sy, (r.height_um - z0) / sz] as const),
    plane: ([a = 0, b = 0, c = 0]) => {
      const [bMm, cMm] = [(b * sz) / sx, (c * sz) / sy];
      return { a: z0 + a * sz - bMm * x0 - cMm * y0, b: bMm, c: cMm };
    },
  };
}

function check(readings: Readings, field: string): void {
  if (readings.length < 4) throw refuse(field, "Flatness needs four readings at least, better nine on a grid.");
  if (!readings.every((r) => [r.x_mm, r.y_mm, r.height_um].every(Number.isFinite))) {
    throw refuse(field, "Every reading needs finite numbers.");
  }
  const x0 = readings.reduce((sum, r) => sum + r.x_mm, 0) / readings.length;
  const y0 = readings.reduce((sum, r) => sum + r.y_mm, 0) / readings.length;
  let [sxx, syy, sxy] = [0, 0, 0];
  for (const r of readings) {
    sxx += (r.x_mm - x0) ** 2;
    syy += (r.y_mm - y0) ** 2;
    sxy += (r.x_mm - x0) * (r.y_mm - y0);
  }
  if (sxx * syy - sxy * sxy <= STRAIGHT_RANK * (sxx + syy) ** 2) {
    throw refuse(field, "All readings lie in one line: take some to the left and right of it too.");
  }
}
