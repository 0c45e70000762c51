import { ticks as countsBetween } from "d3-array";
import { area, curveStepAfter, line } from "d3-shape";
import { scaleLinear } from "d3-scale";
import { rulerAxis } from "../Chart/axis";
import { gradeText, ticks, type Scale } from "../GradeRuler/geometry";
import { markPath } from "../TrialMarks/geometry";
import styles from "./style.module.css";

/** Where the grade stood after so many trials; the first one is before any. */
export interface CoursePoint {
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  /** What the trial that led here says of the stone; null before any. */
  readonly trial: { readonly at: number; readonly steel: number } | null;
}

const width = 360;
const height = 224;
const frame = { left: 30, right: width - 8, top: 10, bottom: 176 };

/**
 * How a grade settled as trials came in: the band is the 90 % interval, the line the estimate, marks are the trials.
 * The axis is a grade ruler stood on end. A picture; the table says the same.
 */
export function CourseChart(props: { scale: Scale; points: readonly CoursePoint[]; first: string; last: string; axis: string; label: string }) {
  const { scale, points } = props;
  const n = points.length;
  const x = scaleLinear([0, Math.max(1, n)], [frame.left, frame.right]);
  const y = rulerAxis(scale, frame.bottom, frame.top);
  // Every estimate holds from its trial to the next, the last one to the edge.
  const end = points[n - 1];
  const held = end === undefined ? [] : [...points, end];
  const band = area<CoursePoint>((_, i) => x(i), (p) => y(p.low90), (p) => y(p.high90)).curve(curveStepAfter)(held) ?? "";
  const estimate = line<CoursePoint>((_, i) => x(i), (p) => y(p.grade)).curve(curveStepAfter)(held) ?? "";
  const counted = countTicks(n - 1);
  return (
    <svg class={styles.chart} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={props.label}>
      {ticks(scale).filter((tick) => tick.whole).map((tick) => (
        <line key={tick.at} class={styles.grid} x1={frame.left} x2={frame.right} y1={y(tick.at)} y2={y(tick.at)} />
      ))}
      <path class={styles.band} d={band} />
      <path class={styles.estimate} d={estimate} />
      {points.map((point, i) => point.trial && (
        <path key={i} class={styles.mark} transform={`translate(${x(i)} ${y(point.trial.at)})`} d={markPath(point.trial.steel, n > 40 ? 18 : 42)} />
      ))}
      <line class={styles.rail} x1={frame.left} x2={frame.left} y1={y(scale.low) + 1} y2={y(scale.high) - 1} />
      {ticks(scale).map((tick) => (
        <g key={tick.at}>
          <line class={styles.tick} x1={frame.left} x2={frame.left - (tick.whole ? 9 : 5)} y1={y(tick.at)} y2={y(tick.at)} />
          {tick.whole && <text class={styles.figure} x={frame.left - 20} y={y(tick.at) + 5} text-anchor="middle">{gradeText(tick.at, 1).replace(".0", "")}</text>}
        </g>
      ))}
      {counted.map((count) => (
        <text key={count} class={styles.figure} x={x(count)} y={frame.bottom + 20} text-anchor="middle">{count}</text>
      ))}
      <text class={styles.word} x={frame.left} y={frame.bottom + 40}>{props.first}</text>
      <text class={styles.word} x={(frame.left + frame.right) / 2} y={frame.bottom + 40} text-anchor="middle">{props.axis}</text>
      <text class={styles.word} x={frame.right} y={frame.bottom + 40} text-anchor="end">{props.last}</text>
    </svg>
  );
}

/** Whole counts only, the last one always. */
function countTicks(n: number): number[] {
  const some = countsBetween(0, Math.max(1, n), 6).filter((tick) => Number.isInteger(tick) && tick <= n);
  const step = (some[1] ?? 1) - (some[0] ?? 0);
  return [...some.filter((tick) => tick === n || n - tick >= step * 0.6), ...(some.includes(n) ? [] : [n])];
}
