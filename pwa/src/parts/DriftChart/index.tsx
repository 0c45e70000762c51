import { area, line } from "d3-shape";
import { signed } from "../Chart/axis";
import { isOutside, reachOf, xOf, yOf, type ChartPoint, type Frame } from "./geometry";
import styles from "./style.module.css";

const box = { width: 360, height: 190 };
const frame: Frame = { left: 44, right: 348, top: 26, bottom: 148 };

/**
 * A level over time with its limits: the band is where a steady tester stays, the line is where this
 * one went, squares are points outside. A picture only; the table beside it says the same in figures.
 */
export function DriftChart(props: {
  points: readonly ChartPoint[];
  /** Position of the first point after a change, if one was found. */
  since: number | null;
  first: string;
  last: string;
  up: string;
  down: string;
  label: string;
}) {
  const { points, since } = props;
  const reach = reachOf(points);
  const x = (i: number): number => xOf(i, points.length, frame);
  const y = (value: number): number => yOf(value, reach, frame);
  const all = [...points];
  const path = (value: (point: ChartPoint) => number) => line<ChartPoint>((_, i) => x(i), (point) => y(value(point)))(all) ?? "";
  const band = area<ChartPoint>((_, i) => x(i), (point) => y(point.low), (point) => y(point.high))(all) ?? "";
  const parted = since !== null && since > 0 && since < points.length ? (x(since - 1) + x(since)) / 2 : null;
  return (
    <svg class={styles.chart} viewBox={`0 0 ${box.width} ${box.height}`} role="img" aria-label={props.label}>
      <path class={styles.band} d={band} />
      <path class={styles.limit} d={path((point) => point.high)} />
      <path class={styles.limit} d={path((point) => point.low)} />
      <line class={styles.zero} x1={frame.left} x2={frame.right} y1={y(0)} y2={y(0)} />
      {parted !== null && <line class={styles.parted} x1={parted} x2={parted} y1={frame.top} y2={frame.bottom} />}
      <path class={styles.level} d={path((point) => point.z)} />
      {points.map((point, i) => (isOutside(point)
        ? <rect key={i} class={styles.out} x={x(i) - 3.5} y={y(point.z) - 3.5} width={7} height={7} />
        : <circle key={i} class={styles.in} cx={x(i)} cy={y(point.z)} r={2} />))}
      {[reach, 0, -reach].map((value) => (
        <text key={value} class={styles.figure} x={frame.left - 6} y={y(value) + 5} text-anchor="end">
          {value === 0 ? "0" : signed(value, 2)}
        </text>
      ))}
      <text class={styles.word} x={frame.left} y={frame.top - 9}>{props.up}</text>
      <text class={styles.word} x={frame.left} y={frame.bottom + 18}>{props.down}</text>
      <text class={styles.word} x={frame.left} y={box.height - 6}>{props.first}</text>
      <text class={styles.word} x={frame.right} y={box.height - 6} text-anchor="end">{props.last}</text>
    </svg>
  );
}
