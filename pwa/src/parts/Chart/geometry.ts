import { position, type Scale, type Track } from "../GradeRuler/geometry";

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

const trackOf = (square: Square): Track => ({ length: square.side, inset: square.inset });

export const acrossAt = (value: number, scale: Scale, square: Square): number =>
  square.left + position(value, scale, trackOf(square));

export const upAt = (value: number, scale: Scale, square: Square): number =>
  square.top + square.side - position(value, scale, trackOf(square));

/** The point nearest to a touch, or null when none lies within `reach` drawing units. */
export function nearestPoint(
  points: readonly FieldPoint[],
  at: { x: number; y: number },
  scales: { across: Scale; up: Scale },
  square: Square,
  reach: number,
): FieldPoint | null {
  let best: FieldPoint | null = null;
  let least = reach;
  for (const point of points) {
    const away = Math.hypot(
      acrossAt(point.across.grade, scales.across, square) - at.x,
      upAt(point.up.grade, scales.up, square) - at.y,
    );
    if (away <= least) {
      best = point;
      least = away;
    }
  }
  return best;
}
