import { useMemo } from "preact/hooks";
import type { FlatnessReading } from "../../domain/records";
import { heights as say } from "../../words/lap";
import { mmPerPx } from "../StoneFace";
import { drawHeights } from "./geometry";
import styles from "./style.module.css";

/**
 * A face's heights as a map: lines of equal height with their numbers, darker where it is low, and the words high and
 * low where it is. One image to a reader; the table beside it has the numbers.
 */
export function HeightMap({ face, readings }: { face: { length_mm: number; width_mm: number }; readings: readonly FlatnessReading[] }) {
  const drawn = useMemo(() => drawHeights(readings, face), [readings, face]);
  const u = mmPerPx(face);
  // The outermost heights are those at the edges, so a cell is a little wider than its share and the outer ones are cut.
  const dx = face.length_mm / (drawn.columns - 1);
  const dy = face.width_mm / (drawn.rows - 1);
  const x = (i: number): number => Math.min(Math.max((i - 0.5) * dx, 0), face.length_mm);
  const y = (j: number): number => Math.min(Math.max((j - 0.5) * dy, 0), face.width_mm);
  const label = say.label(Math.round(drawn.lowest_um), Math.round(drawn.highest_um), drawn.step_um);
  return (
    <figure class={styles.figure}>
      <svg class={styles.map} viewBox={`${-3 * u} ${-3 * u} ${face.length_mm + 6 * u} ${face.width_mm + 6 * u}`} role="img" aria-label={label}>
        <rect class={styles.ground} width={face.length_mm} height={face.width_mm} />
        <g class={styles.bands}>
          {drawn.runs.map((run) => (
            <rect
              key={`${run.row} ${run.from}`}
              x={x(run.from)}
              y={y(run.row)}
              width={x(run.to) - x(run.from)}
              height={y(run.row + 1) - y(run.row)}
              fill-opacity={(0.36 * (drawn.nBands - 1 - run.band)) / Math.max(1, drawn.nBands - 1)}
            />
          ))}
        </g>
        {drawn.contours.map((one) => (
          <path
            key={one.level}
            class={Math.abs(one.level) < 1e-9 ? `${styles.line} ${styles.zero}` : styles.line}
            d={one.segments.map(([p, q]) => `M${x(p.i).toFixed(2)} ${y(p.j).toFixed(2)}L${x(q.i).toFixed(2)} ${y(q.j).toFixed(2)}`).join("")}
          />
        ))}
        <rect class={styles.edge} width={face.length_mm} height={face.width_mm} />
        {readings.map((reading) => (
          <path
            key={`${reading.x_mm} ${reading.y_mm}`}
            class={styles.reading}
            d={`M${reading.x_mm - 4 * u} ${reading.y_mm}h${8 * u}M${reading.x_mm} ${reading.y_mm - 4 * u}v${8 * u}`}
          />
        ))}
        {drawn.labels.map((one) => <Tag key={one.level} x={x(one.i)} y={y(one.j)} u={u} words={say.level(Math.round(one.level * 10) / 10)} within={face} />)}
        <Tag x={x(drawn.highest.i)} y={y(drawn.highest.j)} u={u} words={say.high} strong within={face} />
        <Tag x={x(drawn.lowest.i)} y={y(drawn.lowest.j)} u={u} words={say.low} strong within={face} />
      </svg>
      <figcaption class="note">{say.legend(drawn.step_um, drawn.fitted)}</figcaption>
    </figure>
  );
}

function Tag(props: { x: number; y: number; u: number; words: string; strong?: boolean; within?: { length_mm: number; width_mm: number } }) {
  const { u, words, within } = props;
  const [w, h] = [(words.length * 7.6 + 8) * u, 18 * u];
  const keep = (at: number, half: number, end: number): number => Math.min(Math.max(at, half), end - half);
  const x = within === undefined ? props.x : keep(props.x, w / 2 + 2 * u, within.length_mm);
  const y = within === undefined ? props.y : keep(props.y, h / 2 + 2 * u, within.width_mm);
  return (
    <g aria-hidden="true">
      <rect class={props.strong ? `${styles.plate} ${styles.strong}` : styles.plate} x={x - w / 2} y={y - h / 2} width={w} height={h} />
      <text class={props.strong ? `${styles.text} ${styles.strongText}` : styles.text} x={x} y={y} font-size={12.5 * u}>{words}</text>
    </g>
  );
}
