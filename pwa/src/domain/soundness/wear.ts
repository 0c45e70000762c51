/**
 * How fast a lap takes stone away. Preston's law is what a club can calibrate for itself:
 * depth = K · pressure · sliding distance. K depends on stone, abrasive and water; the first guess is only good to a
 * factor of several, and every logged lapping narrows it.
 */

import type { Mm, Mm2, Um } from "../units";
import { refuse } from "./refusal";

/** First guess of K, 1/Pa, for a grain of GUESS_GRAIN_UM on a natural stone. Common practice, no source. */
export const GUESS_PER_PA = 5e-10;
const GUESS_GRAIN_UM = 68;

/** One standard deviation of the first guess: a factor of 4. */
const GUESS_SPREAD = Math.log(4);

/** One standard deviation from one lapping to the next while fewer than five are logged: a factor of 1.6. */
const ONE_LAPPING_SPREAD = Math.log(1.6);
const FEWEST_FOR_SPREAD = 5;
const Z90 = 1.6448536269514722;

/** One logged lapping: depth taken off, mean force, wetted area, strokes and their length, grain size. */
export interface Lapping {
  readonly removed_um: number;
  readonly force_n: number;
  readonly area_mm2: number;
  readonly strokes: number;
  readonly stroke_mm: number;
  readonly grain_um: number;
}

/** K for a grain of 68 µm, 1/Pa, with a 90 % interval for the next lapping; 0 lappings means the first guess. */
export interface LappingRate {
  readonly per_pa: number;
  readonly low90: number;
  readonly high90: number;
  readonly n_lappings: number;
}

/** How many strokes a depth asks for, with a 90 % interval. */
export interface Strokes {
  readonly strokes: number;
  readonly low90: number;
  readonly high90: number;
}

/** K of one lapping, 1/Pa, brought to a grain of 68 µm. */
export function prestonOf(lapping: Lapping): number {
  const { removed_um, force_n, area_mm2, strokes, stroke_mm, grain_um } = lapping;
  for (const [name, value] of Object.entries({ removed_um, force_n, area_mm2, strokes, stroke_mm, grain_um })) {
    if (!(Number.isFinite(value) && value > 0)) {
      throw refuse(name, "Every value of a logged lapping must be above 0.");
    }
  }
  const pressure = force_n / (area_mm2 * 1e-6);
  const distance = strokes * stroke_mm * 1e-3;
  return ((removed_um * 1e-6) / (pressure * distance)) * (GUESS_GRAIN_UM / grain_um);
}

/**
 * K from the logged lappings, drawn towards the first guess as far as they are few. Normal on log K; the interval is
 * for the next lapping, so it holds both the doubt about K and the scatter.
 */
export function fitRate(lappings: readonly Lapping[]): LappingRate {
  const logs = lappings.map((lapping) => Math.log(prestonOf(lapping)));
  const n = logs.length;
  const sum = logs.reduce((total, x) => total + x, 0);
  let scatter = ONE_LAPPING_SPREAD;
  if (n >= FEWEST_FOR_SPREAD) {
    const squares = logs.reduce((total, x) => total + (x - sum / n) ** 2, 0);
    scatter = Math.max(0.05, Math.sqrt(squares / (n - 1)));
  }
  const trustGuess = GUESS_SPREAD ** -2;
  const trustLogs = n / scatter ** 2;
  const middle = (trustGuess * Math.log(GUESS_PER_PA) + sum / scatter ** 2) / (trustGuess + trustLogs);
  const half = Z90 * Math.sqrt(1 / (trustGuess + trustLogs) + scatter ** 2);
  return {
    per_pa: Math.exp(middle),
    low90: Math.exp(middle - half),
    high90: Math.exp(middle + half),
    n_lappings: n,
  };
}

/** How a lapping is done: force on the face, length of a stroke, grain. */
export interface Manner {
  readonly force_n: number;
  readonly stroke_mm: Mm;
  readonly grain_um: Um;
}

/** Strokes to take a depth off a face. */
export function strokesFor(depth: Um, rate: LappingRate, area: Mm2, manner: Manner): Strokes {
  const { force_n, stroke_mm, grain_um } = manner;
  for (const [name, value] of Object.entries({ force_n, area_mm2: area, stroke_mm, grain_um })) {
    if (!(Number.isFinite(value) && value > 0)) throw refuse(name, "This must be above 0.");
  }
  const pressure = force_n / (area * 1e-6);
  const scale = ((depth * 1e-6) / (pressure * stroke_mm * 1e-3)) * (GUESS_GRAIN_UM / grain_um);
  return { strokes: scale / rate.per_pa, low90: scale / rate.high90, high90: scale / rate.low90 };
}
