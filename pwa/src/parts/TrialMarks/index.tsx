import { useRef } from "preact/hooks";
import { least } from "d3-array";
import { rulerAxis } from "../Chart/axis";
import { RulerScale } from "../GradeRuler";
import type { Scale } from "../GradeRuler/geometry";
import { areaOf, dodge, markPath, markRadius } from "./geometry";
import styles from "./style.module.css";

/** One trial as the chart shows it. */
export interface TrialMark {
  readonly id: string;
  /** What it says of the stone; beyond the ends of the scale it is drawn at the end. */
  readonly at: number;
  /** Place of its steel among the steels, which chooses the shape. */
  readonly steel: number;
  readonly weight: number;
  /** Left out of the pooling: an outline only. */
  readonly out: boolean;
  /** It sticks out: ringed. */
  readonly flagged: boolean;
}

const width = 360;
const track = { length: width, inset: 18 };
const rail = 34;
const bandTop = rail;
/** A thumb takes the nearest mark within this many drawing units. */
const reach = 34;

/**
 * All trials of a stone under one grade ruler: each mark at its corrected grade, as large as its weight, shaped by
 * its steel, with the pooled grade's band running down behind them. A picture; the list and the table say the same.
 */
export function TrialMarks(props: {
  scale: Scale;
  estimate: { readonly grade: number; readonly low90: number; readonly high90: number } | null;
  marks: readonly TrialMark[];
  chosen: string | null;
  label: string;
  onChoose: (id: string) => void;
}) {
  const { scale, estimate, marks } = props;
  const svg = useRef<SVGSVGElement>(null);
  const x = rulerAxis(scale, track.inset, width - track.inset);
  const heaviest = Math.max(0, ...marks.map((mark) => mark.weight));
  const sized = marks.map((mark) => ({ x: x(mark.at), steel: mark.steel, area: mark.out ? areaOf(0, 1, marks.length) : areaOf(mark.weight, heaviest, marks.length) }));
  const top = rail + 26;
  const under = dodge(sized).map((y) => top + y);
  const bottom = Math.max(top + 24, ...under.map((y, i) => y + markRadius(sized[i]?.area ?? 0, sized[i]?.steel ?? 0))) + 8;

  const tap = (event: MouseEvent): void => {
    const box = svg.current?.getBoundingClientRect();
    if (!box || box.width === 0) return;
    const k = width / box.width;
    const at = { x: (event.clientX - box.left) * k, y: (event.clientY - box.top) * k };
    const away = (i: number): number => Math.hypot((sized[i]?.x ?? 0) - at.x, (under[i] ?? 0) - at.y);
    const nearest = least(marks.map((_, i) => i), away);
    if (nearest !== undefined && away(nearest) <= reach) props.onChoose(marks[nearest]?.id ?? "");
  };

  return (
    <svg ref={svg} class={styles.chart} viewBox={`0 0 ${width} ${bottom}`} role="img" aria-label={props.label} onClick={tap}>
      {estimate && (
        <g>
          <rect class={styles.band} x={x(estimate.low90)} y={bandTop} width={Math.max(1, x(estimate.high90) - x(estimate.low90))} height={bottom - bandTop} />
          <line class={styles.middle} x1={x(estimate.grade)} x2={x(estimate.grade)} y1={rail} y2={bottom} />
        </g>
      )}
      <RulerScale scale={scale} track={track} rail={rail} whole={12} half={7} levels />
      {estimate && <polygon class={styles.notch} points={`${x(estimate.grade)},${rail} ${x(estimate.grade) + 7.5},${rail + 18} ${x(estimate.grade) - 7.5},${rail + 18}`} />}
      {marks.map((mark, i) => {
        const [at, y, area] = [sized[i]?.x ?? 0, under[i] ?? 0, sized[i]?.area ?? 0];
        const kind = mark.out ? styles.out : mark.flagged ? styles.flagged : styles.mark;
        return (
          <g key={mark.id} transform={`translate(${at} ${y})`}>
            {mark.id === props.chosen && <circle class={styles.chosen} r={markRadius(area, mark.steel) + 4} />}
            {mark.flagged && !mark.out && <circle class={styles.ring} r={markRadius(area, mark.steel) + 1.5} />}
            <path class={kind} d={markPath(mark.steel, area)} />
          </g>
        );
      })}
    </svg>
  );
}

/** A steel's shape beside its name. */
export const SteelSign = ({ steel, out = false }: { steel: number; out?: boolean }) => (
  <svg class={styles.sign} viewBox="-9 -9 18 18" aria-hidden="true">
    <path class={out ? styles.out : styles.mark} d={markPath(steel, 110)} />
  </svg>
);
