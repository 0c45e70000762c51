/**
 * Where things stand on a grade scale, and which grade a touch means.
 *
 * Pure: numbers in, numbers out. The drawing, the input and the tests share it, so a notch is
 * drawn exactly where a tap at that place would have set it.
 */

/** A scale as a protocol states it: both ends and the step, in grade units. */
export interface Scale {
  readonly low: number;
  readonly high: number;
  readonly step: number;
}

/** The drawing's own length: `length` user units, of which `inset` at either end is margin. */
export interface Track {
  readonly length: number;
  readonly inset: number;
}

export interface Tick {
  readonly at: number;
  /** A whole level carries a number and a word; the steps between do not. */
  readonly whole: boolean;
}

// Steps such as 0.1 do not add up exactly in binary. Six places are far finer than any scale.
const tidy = (value: number): number => Math.round(value * 1e6) / 1e6;

/** How many steps the scale has between its ends. A scale whose step does not divide it stops short. */
export function stepCount(scale: Scale): number {
  return Math.max(0, Math.floor(tidy((scale.high - scale.low) / scale.step)));
}

/** The nearest grade that the scale allows. */
export function snap(value: number, scale: Scale): number {
  const n = Math.round((value - scale.low) / scale.step);
  return tidy(scale.low + Math.min(stepCount(scale), Math.max(0, n)) * scale.step);
}

/** Whether `value` is one of the scale's own grades. */
export function onScale(value: number, scale: Scale): boolean {
  return Number.isFinite(value) && Math.abs(snap(value, scale) - value) < 1e-6;
}

/** Distance along the drawing; values beyond the ends are drawn at the ends. */
export function position(value: number, scale: Scale, track: Track): number {
  const share = (value - scale.low) / (scale.high - scale.low);
  return track.inset + Math.min(1, Math.max(0, share)) * (track.length - 2 * track.inset);
}

/** The grade meant by a touch at distance `at` along the drawing. */
export function gradeAt(at: number, scale: Scale, track: Track): number {
  const share = (at - track.inset) / (track.length - 2 * track.inset);
  return snap(scale.low + share * (scale.high - scale.low), scale);
}

/** Every step of the scale, with the whole levels told apart. */
export function ticks(scale: Scale): Tick[] {
  return Array.from({ length: stepCount(scale) + 1 }, (_, i) => {
    const at = tidy(scale.low + i * scale.step);
    return { at, whole: Math.abs(at - Math.round(at)) < 1e-6 };
  });
}

/**
 * One step up (+1) or down (−1).
 *
 * From no grade at all a step goes to the middle: somebody on a keyboard must be able to begin
 * somewhere, and the middle leans to neither side. Thumbs begin by tapping the scale instead.
 */
export function stepFrom(value: number | null, direction: 1 | -1, scale: Scale): number {
  if (value === null) return snap((scale.low + scale.high) / 2, scale);
  return snap(value + direction * scale.step, scale);
}

/** The words that stand at a grade: one level's, or the two levels it lies between. */
export type WordsAt =
  | { readonly kind: "level"; readonly text: string }
  | { readonly kind: "between"; readonly below: string; readonly above: string }
  | { readonly kind: "none" };

export function wordsAt(value: number, words: Readonly<Record<string, string>>): WordsAt {
  const exact = words[String(tidy(value))];
  if (exact !== undefined) return { kind: "level", text: exact };
  const below = words[String(Math.floor(value))];
  const above = words[String(Math.ceil(value))];
  if (below !== undefined && above !== undefined) return { kind: "between", below, above };
  const only = below ?? above;
  return only === undefined ? { kind: "none" } : { kind: "level", text: only };
}

/** A grade as printed: as many decimals as the step needs, one at least, so that columns line up. */
export function gradeText(value: number, step = 0.5): string {
  const decimals = Math.max(1, (String(tidy(step)).split(".")[1] ?? "").length);
  return value.toFixed(decimals);
}
