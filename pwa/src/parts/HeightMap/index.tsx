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
  const dx = face.length_mm / drawn.columns;
  const dy = face.width_mm / drawn.rows;
  const label = say.label(Math.round(drawn.lowest_um), Math.round(drawn.highest_um), drawn.step_um);
  return (
    <figure class={styles.figure}>
      <svg class={styles.map} viewBox={`${-3 * u} ${-3 * u} ${face.length_mm + 6 * u} ${face.width_mm + 6 * u}`} role="img" aria-label={label}>
        <rect class={styles.ground} width={face.length_mm} height={face.width_mm} />
        <g class={styles.bands}>
          {drawn.runs.map((run) => (
            <rect
              key={`${run.row} ${run.from}`}
              x={run.from * dx}
              y={run.row * dy}
              width={(run.to - run.from) * dx}
              height={dy * 1.04}
              fill-opacity={(0.55 * (drawn.nBands - 1 - run.band)) / Math.max(1, drawn.nBands - 1)}
            />
          ))}
        </g>
        {drawn.contours.map((one) => (
          <path
            key={one.level}
            class={Math.abs(one.level) < 1e-9 ? `${styles.line} ${styles.zero}` : styles.line}
            d={one.segments.map(([p, q]) => `M${(p.i * dx).toFixed(2)} ${(p.j * dy).toFixed(2)}L${(q.i * dx).toFixed(2)} ${(q.j * dy).toFixed(2)}`).join("")}
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
        {drawn.labels.map((one) => <Tag key={one.level} x={one.i * dx} y={one.j * dy} u={u} words={say.level(Math.round(one.level * 10) / 10)} />)}
        <Tag x={drawn.highest.i * dx} y={drawn.highest.j * dy} u={u} words={say.high} strong within={face} />
        <Tag x={drawn.lowest.i * dx} y={drawn.lowest.j * dy} u={u} words={say.low} strong within={face} />
      </svg>
      <figcaption class="note">{say.legend(drawn.step_um)}</figcaption>
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
