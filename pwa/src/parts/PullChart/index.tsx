import { balancedAxis, signed } from "../Chart/axis";
import { markPath } from "../TrialMarks/geometry";
import styles from "./style.module.css";

export interface Pull {
  readonly id: string;
  readonly name: string;
  readonly pull: number;
  readonly flagged: boolean;
  /** Place of its steel among the steels, which chooses the mark before the name. */
  readonly steel: number;
}

const width = 360;
const left = 152;
const right = width - 22;
const rowHeight = 28;
const top = 34;
/** Longer names are cut on the drawing; the table has them whole. */
const lettersShown = 15;

const cut = (name: string): string => (name.length <= lettersShown ? name : `${name.slice(0, lettersShown - 1).trimEnd()}…`);

/** How far each trial moved the grade: a bar to the side it pulled. A picture; the table says the same. */
export function PullChart({ pulls, label }: { pulls: readonly Pull[]; label: string }) {
  const x = balancedAxis(pulls.map((one) => one.pull), 0.1, left, right);
  const zero = x(0);
  const bottom = top + pulls.length * rowHeight;
  const ticks = x.domain();
  return (
    <svg class={styles.chart} viewBox={`0 0 ${width} ${bottom + 8}`} role="img" aria-label={label}>
      {ticks.map((tick) => (
        <g key={tick}>
          <line class={styles.grid} x1={x(tick)} x2={x(tick)} y1={top - 6} y2={bottom} />
          <text class={styles.figure} x={x(tick)} y={top - 14} text-anchor="middle">{signed(tick, decimals(ticks))}</text>
        </g>
      ))}
      <text class={styles.figure} x={zero} y={top - 14} text-anchor="middle">0</text>
      {pulls.map((one, i) => {
        const y = top + i * rowHeight;
        return (
          <g key={one.id}>
            <path class={one.flagged ? styles.flagged : styles.bar} transform={`translate(7 ${y + 13})`} d={markPath(one.steel, 70)} />
            <text class={styles.name} x={19} y={y + 18}>{cut(one.name)}</text>
            <rect
              class={one.flagged ? styles.flagged : styles.bar}
              x={Math.min(zero, x(one.pull))}
              y={y + 6}
              width={Math.max(1, Math.abs(x(one.pull) - zero))}
              height={rowHeight - 12}
            />
          </g>
        );
      })}
      <line class={styles.zero} x1={zero} x2={zero} y1={top - 6} y2={bottom} />
    </svg>
  );
}

/** As many places as tell the ticks apart. */
const decimals = (ticks: readonly number[]): number => (ticks.every((tick) => Math.abs(tick * 10 - Math.round(tick * 10)) < 1e-9) ? 1 : 2);
