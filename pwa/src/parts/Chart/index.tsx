import { useRef } from "preact/hooks";
import { ticks, type Scale } from "../GradeRuler/geometry";
import { acrossAt, nearestPoint, upAt, type FieldPoint, type Square } from "./geometry";
import styles from "./style.module.css";

export interface NamedScale extends Scale {
  readonly name: string;
}

const square: Square = { left: 44, top: 8, side: 348, inset: 14 };
const box = { width: 400, height: 412 };
/** A thumb picks the nearest stone within this many drawing units (about the same in pixels on a phone). */
const reach = 40;

/**
 * Stones in the field of two scales, each with its 90 % interval both ways. The axes are grade
 * rulers: a chosen stone shows its band and notch on both.
 *
 * It is a picture only. The table beside it says the same in words and is what keyboards and
 * readers use, so the drawing itself is one image to them.
 */
export function GradeField(props: {
  across: NamedScale;
  up: NamedScale;
  points: readonly FieldPoint[];
  chosen: string | null;
  label: string;
  onChoose: (id: string | null) => void;
}) {
  const { across, up, points } = props;
  const svg = useRef<SVGSVGElement>(null);
  const chosen = points.find((point) => point.id === props.chosen) ?? null;
  const x = (value: number): number => acrossAt(value, across, square);
  const y = (value: number): number => upAt(value, up, square);
  const bottom = square.top + square.side;

  const tap = (event: MouseEvent): void => {
    const on = svg.current?.getBoundingClientRect();
    if (!on || on.width === 0) return;
    const k = box.width / on.width;
    const at = { x: (event.clientX - on.left) * k, y: (event.clientY - on.top) * k };
    props.onChoose(nearestPoint(points, at, { across, up }, square, reach)?.id ?? null);
  };

  return (
    <svg
      ref={svg}
      class={styles.field}
      viewBox={`0 0 ${box.width} ${box.height}`}
      role="img"
      aria-label={props.label}
      onClick={tap}
    >
      <g>
        {ticks(across).filter((t) => t.whole).map((t) => (
          <line key={t.at} class={styles.grid} x1={x(t.at)} x2={x(t.at)} y1={square.top} y2={bottom} />
        ))}
        {ticks(up).filter((t) => t.whole).map((t) => (
          <line key={t.at} class={styles.grid} x1={square.left} x2={square.left + square.side} y1={y(t.at)} y2={y(t.at)} />
        ))}
      </g>

      {points.map((point) => point !== chosen && (
        <g key={point.id}>
          <line class={styles.span} x1={x(point.across.low90)} x2={x(point.across.high90)} y1={y(point.up.grade)} y2={y(point.up.grade)} />
          <line class={styles.span} x1={x(point.across.grade)} x2={x(point.across.grade)} y1={y(point.up.low90)} y2={y(point.up.high90)} />
        </g>
      ))}
      {points.map((point) => point !== chosen && (
        <circle
          key={point.id}
          class={point.doubtful ? styles.hollow : styles.dot}
          cx={x(point.across.grade)}
          cy={y(point.up.grade)}
          r={4.5}
        />
      ))}

      {chosen && (
        <g>
          <rect class={styles.band} x={x(chosen.across.low90)} y={bottom} width={x(chosen.across.high90) - x(chosen.across.low90)} height={10} />
          <rect class={styles.band} x={square.left - 10} y={y(chosen.up.high90)} width={10} height={y(chosen.up.low90) - y(chosen.up.high90)} />
          <line class={styles.lead} x1={x(chosen.across.grade)} x2={x(chosen.across.grade)} y1={y(chosen.up.grade)} y2={bottom} />
          <line class={styles.lead} x1={square.left} x2={x(chosen.across.grade)} y1={y(chosen.up.grade)} y2={y(chosen.up.grade)} />
          <line class={styles.spanChosen} x1={x(chosen.across.low90)} x2={x(chosen.across.high90)} y1={y(chosen.up.grade)} y2={y(chosen.up.grade)} />
          <line class={styles.spanChosen} x1={x(chosen.across.grade)} x2={x(chosen.across.grade)} y1={y(chosen.up.low90)} y2={y(chosen.up.high90)} />
          <circle class={chosen.doubtful ? styles.hollow : styles.dot} cx={x(chosen.across.grade)} cy={y(chosen.up.grade)} r={7} />
          <NotchUp x={x(chosen.across.grade)} rail={bottom} />
          <NotchRight y={y(chosen.up.grade)} rail={square.left} />
          <text
            class={styles.code}
            x={x(chosen.across.grade) + (chosen.across.grade > (across.low + across.high) / 2 ? -12 : 12)}
            y={y(chosen.up.grade) - 12}
            text-anchor={chosen.across.grade > (across.low + across.high) / 2 ? "end" : "start"}
          >
            {chosen.code}
          </text>
        </g>
      )}

      <AcrossRuler scale={across} x={x} rail={bottom} />
      <UpRuler scale={up} y={y} rail={square.left} />
    </svg>
  );
}

function AcrossRuler({ scale, x, rail }: { scale: NamedScale; x: (value: number) => number; rail: number }) {
  return (
    <g>
      <line class={styles.rail} x1={square.left} x2={square.left + square.side} y1={rail} y2={rail} />
      {ticks(scale).map((t) => (
        <g key={t.at}>
          <line class={styles.tick} x1={x(t.at)} x2={x(t.at)} y1={rail} y2={rail - (t.whole ? 10 : 6)} />
          {t.whole && <text class={styles.level} x={x(t.at)} y={rail + 30} text-anchor="middle">{t.at}</text>}
        </g>
      ))}
      <text class={styles.name} x={square.left + square.side} y={rail + 50} text-anchor="end">{scale.name} →</text>
    </g>
  );
}

function UpRuler({ scale, y, rail }: { scale: NamedScale; y: (value: number) => number; rail: number }) {
  return (
    <g>
      <line class={styles.rail} x1={rail} x2={rail} y1={square.top} y2={square.top + square.side} />
      {ticks(scale).map((t) => (
        <g key={t.at}>
          <line class={styles.tick} x1={rail} x2={rail + (t.whole ? 10 : 6)} y1={y(t.at)} y2={y(t.at)} />
          {t.whole && <text class={styles.level} x={rail - 20} y={y(t.at) + 5} text-anchor="middle">{t.at}</text>}
        </g>
      ))}
      <text class={styles.name} transform={`translate(${rail - 31} ${square.top + 2}) rotate(-90)`} text-anchor="end">{scale.name} →</text>
    </g>
  );
}

const NotchUp = ({ x, rail }: { x: number; rail: number }) => (
  <polygon class={styles.notch} points={`${x},${rail} ${x + 6},${rail + 14} ${x - 6},${rail + 14}`} />
);
const NotchRight = ({ y, rail }: { y: number; rail: number }) => (
  <polygon class={styles.notch} points={`${rail},${y} ${rail - 14},${y + 6} ${rail - 14},${y - 6}`} />
);
