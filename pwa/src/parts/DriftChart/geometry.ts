import { scaleLinear } from "d3-scale";

/** Where the points of a drift chart stand. Pure. */

export interface ChartPoint {
  readonly z: number;
  readonly low: number;
  readonly high: number;
}

export interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The same reach above and below zero, so that up and down can be compared by eye; never so narrow that noise looks like news. */
export function reachOf(points: readonly ChartPoint[]): number {
  const most = points.reduce((reach, { z, low, high }) => Math.max(reach, Math.abs(z), Math.abs(low), Math.abs(high)), 0);
  return Math.max(0.25, Math.ceil(most * 1.08 * 20) / 20);
}

/** A single point stands in the middle. */
export const xOf = (i: number, n: number, frame: Frame): number =>
  n < 2 ? (frame.left + frame.right) / 2 : scaleLinear([0, n - 1], [frame.left, frame.right])(i);

/** Up is a higher grade than expected: milder. */
export const yOf = (value: number, reach: number, frame: Frame): number =>
  scaleLinear([reach, -reach], [frame.top, frame.bottom]).clamp(true)(value);

export const isOutside = ({ z, low, high }: ChartPoint): boolean => z < low || z > high;
