import { least } from "d3-array";
import type { Scale } from "../GradeRuler/geometry";
import { rulerAxis } from "./axis";

/** A pooled grade on one scale, as the chart draws it. */
export interface Estimate {
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
}

/** One stone in the field of two scales. */
export interface FieldPoint {
  readonly id: string;
  readonly code: string;
  readonly across: Estimate;
  readonly up: Estimate;
  /** The panel disagrees or the groups do not meet: drawn hollow. */
  readonly doubtful: boolean;
}

/** The square that points are drawn in, in the drawing's units; y grows downward on a screen. */
export interface Square {
  readonly left: number;
  readonly top: number;
  readonly side: number;
  readonly inset: number;
}

const across = (scale: Scale, { left, side, inset }: Square) => rulerAxis(scale, left + inset, left + side - inset);
const up = (scale: Scale, { top, side, inset }: Square) => rulerAxis(scale, top + side - inset, top + inset);

export const acrossAt = (value: number, scale: Scale, square: Square): number => across(scale, square)(value);

export const upAt = (value: number, scale: Scale, square: Square): number => up(scale, square)(value);

/** The point nearest to a touch, or null when none lies within `reach` drawing units. */
export function nearestPoint(
  points: readonly FieldPoint[],
  at: { x: number; y: number },
  scales: { across: Scale; up: Scale },
  square: Square,
  reach: number,
): FieldPoint | null {
  const away = (point: FieldPoint): number => Math.hypot(
    acrossAt(point.across.grade, scales.across, square) - at.x,
    upAt(point.up.grade, scales.up, square) - at.y,
  );
  const best = least(points, away);
  return best === undefined || away(best) > reach ? null : best;
}
