import { gradeText, position, ticks, type Scale, type Track } from "./geometry";
import styles from "./style.module.css";

/** One piece of evidence marked under the scale: the grade on one steel, a grade of one's own, another tester's. */
export interface Mark {
  readonly at: number;
  readonly kind: "steel" | "own" | "trial";
}

export interface GradeRulerProps {
  readonly scale: Scale;
  /** What the ruler says, for somebody who cannot see it. Always a full sentence. */
  readonly label: string;
  readonly size: "row" | "page";
  readonly grade?: number | null;
  readonly low90?: number | null;
  readonly high90?: number | null;
  /** The estimate stands at an end of the scale, so the truth may lie beyond it. */
  readonly atEnd?: "low" | "high" | null;
  readonly marks?: readonly Mark[];
  /** What is asked for, drawn as a bar on the other side of the rail. Ends beyond the scale stand at its ends. */
  readonly want?: { readonly low: number; readonly high: number } | null;
}

interface Layout {
  readonly track: Track;
  readonly height: number;
  readonly rail: number;
  readonly whole: number;
  readonly half: number;
  readonly band: number;
  readonly notch: number;
  readonly pip: number;
  readonly levels: boolean;
}

const layouts: Record<GradeRulerProps["size"], Layout> = {
  row: {
    track: { length: 144, inset: 8 },
    height: 32, rail: 11, whole: 9, half: 5, band: 7, notch: 11, pip: 27, levels: false,
  },
  page: {
    track: { length: 336, inset: 12 },
    height: 70, rail: 34, whole: 12, half: 7, band: 12, notch: 18, pip: 62, levels: true,
  },
};

/**
 * The grade ruler: scale, interval as a band, estimate as a notch, evidence as marks under it.
 * The same drawing stands in a list row and on a page; only its size differs.
 */
export function GradeRuler(props: GradeRulerProps) {
  const { scale, size, grade = null, low90 = null, high90 = null, atEnd = null, marks = [], want = null } = props;
  const at = layouts[size];
  const x = (value: number): number => position(value, scale, at.track);
  // In a list all rulers are equally high; on a page one without evidence needs no room for it.
  const trials = marks.filter((mark) => mark.kind === "trial").sort((a, b) => a.at - b.at);
  const pips = marks.filter((mark) => mark.kind !== "trial");
  const trialTop = pips.length > 0 ? at.pip + 10 : at.pip - 6;
  const height = size === "page"
    ? trials.length > 0 ? trialTop + 14 : pips.length > 0 ? at.height : at.rail + at.notch + 2
    : at.height;

  return (
    <svg
      class={`${styles.ruler} ${styles[size]}`}
      viewBox={`0 0 ${at.track.length} ${height}`}
      role="img"
      aria-label={props.label}
    >
      {want !== null && (
        <rect
          class={styles.want}
          aria-hidden="true"
          x={x(want.low)}
          width={Math.max(1, x(want.high) - x(want.low))}
          y={at.rail - at.half}
          height={at.half}
        />
      )}
      {low90 !== null && high90 !== null && (
        <Band from={x(low90)} to={x(high90)} top={at.rail} height={at.band} atEnd={atEnd} />
      )}
      <RulerScale scale={scale} track={at.track} rail={at.rail} whole={at.whole} half={at.half} levels={at.levels} />
      {pips.map((mark, i) => (
        <Pip key={i} x={x(mark.at)} y={at.pip} own={mark.kind === "own"} r={size === "page" || mark.kind === "own" ? 4 : 2.5} />
      ))}
      {size === "page" && trials.map((mark, i) => (
        <Strike key={i} x={x(mark.at) + beside(trials, i) * 4.5} top={trialTop} />
      ))}
      {grade !== null && <Notch x={x(grade)} rail={at.rail} depth={at.notch} />}
    </svg>
  );
}

/** Rail, ticks and level numbers: what every ruler has in common, the input too. */
export function RulerScale(props: {
  scale: Scale;
  track: Track;
  rail: number;
  whole: number;
  half: number;
  levels: boolean;
  big?: boolean;
}) {
  const { scale, track, rail } = props;
  const x = (value: number): number => position(value, scale, track);
  return (
    <g aria-hidden="true">
      <line class={styles.rail} x1={x(scale.low) - 1} x2={x(scale.high) + 1} y1={rail} y2={rail} />
      {ticks(scale).map((tick) => (
        <line
          key={tick.at}
          class={tick.whole ? styles.tickWhole : styles.tick}
          x1={x(tick.at)}
          x2={x(tick.at)}
          y1={rail}
          y2={rail - (tick.whole ? props.whole : props.half)}
        />
      ))}
      {props.levels && ticks(scale).filter((tick) => tick.whole).map((tick) => (
        <text
          key={tick.at}
          class={props.big ? `${styles.level} ${styles.levelBig}` : styles.level}
          x={x(tick.at)}
          y={rail - props.whole - 6}
        >
          {gradeText(tick.at, 1).replace(".0", "")}
        </text>
      ))}
    </g>
  );
}

function Band(props: { from: number; to: number; top: number; height: number; atEnd: "low" | "high" | null }) {
  const { from, to, top, height, atEnd } = props;
  const point = height * 0.7;
  // An interval that meets the end of the scale is drawn with an open point: it does not stop there.
  const low = atEnd === "low" ? `${from},${top} ${from - point},${top + height / 2} ${from},${top + height}` : `${from},${top} ${from},${top + height}`;
  const high = atEnd === "high" ? `${to},${top + height} ${to + point},${top + height / 2} ${to},${top}` : `${to},${top + height} ${to},${top}`;
  return (
    <g aria-hidden="true">
      <polygon class={styles.band} points={`${low} ${high}`} />
      {atEnd !== "low" && <line class={styles.bandEdge} x1={from} x2={from} y1={top} y2={top + height} />}
      {atEnd !== "high" && <line class={styles.bandEdge} x1={to} x2={to} y1={top} y2={top + height} />}
    </g>
  );
}

function Notch(props: { x: number; rail: number; depth: number }) {
  const half = props.depth * 0.42;
  const { x, rail, depth } = props;
  return <polygon class={styles.notch} points={`${x},${rail} ${x + half},${rail + depth} ${x - half},${rail + depth}`} />;
}

/** Trials of one grade stand beside each other, centred under it: how far this one stands off, in places. */
function beside(trials: readonly Mark[], i: number): number {
  const same = (mark: Mark): boolean => mark.at === trials[i]?.at;
  return i - trials.findIndex(same) - (trials.filter(same).length - 1) / 2;
}

const Strike = ({ x, top }: { x: number; top: number }) => <line class={styles.strike} x1={x} x2={x} y1={top} y2={top + 12} />;

function Pip(props: { x: number; y: number; r: number; own: boolean }) {
  const { x, y, r } = props;
  return props.own
    ? <polygon class={styles.pip} points={`${x},${y - r} ${x + r},${y} ${x},${y + r} ${x - r},${y}`} />
    : <circle class={styles.pipSteel} cx={x} cy={y} r={r} />;
}
