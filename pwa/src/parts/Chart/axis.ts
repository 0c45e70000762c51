/** Axes of the charts: a grade's place along a ruler, from the chart library. Pure; loaded with the charts only. */
import { scaleLinear, type ScaleLinear } from "d3-scale";
import type { Scale } from "../GradeRuler/geometry";

export type Axis = ScaleLinear<number, number>;

/** The scale laid between two places of the drawing; what lies beyond its ends is drawn at the ends. */
export const rulerAxis = (scale: Pick<Scale, "low" | "high">, from: number, to: number): Axis =>
  scaleLinear([scale.low, scale.high], [from, to]).clamp(true);

/** The same reach on both sides of zero, so that the two sides can be compared by eye. */
export function balancedAxis(values: readonly number[], least: number, from: number, to: number): Axis {
  const reach = values.reduce((most, value) => Math.max(most, Math.abs(value)), least);
  return scaleLinear([-reach, reach], [from, to]).nice(4).clamp(true);
}

/** A number with its sign, a true minus and none for nothing. */
export function signed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return Number(text) === 0 ? text : `${value < 0 ? "−" : "+"}${text}`;
}
