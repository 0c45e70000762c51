import type { ComponentChildren } from "preact";
import type { FindingKind, Stone } from "../../domain/records";
import { labelPoint, polyline, rowViewOf, viewBox, viewOf, type FacePoint, type FaceSize } from "./geometry";
import styles from "./style.module.css";

export type { FindingKind };

/** What the drawing needs of a finding; the full record satisfies it. */
export interface DrawnFinding {
  readonly id: string;
  readonly kind: FindingKind;
  readonly points: readonly FacePoint[];
  readonly size_mm: number | null;
  readonly relieved: boolean;
}

export interface DrawnStone extends FaceSize {
  readonly thickness_mm: number;
  readonly form: string;
  readonly sides_sealed?: boolean;
  readonly marks?: readonly { readonly face: string; readonly kind: string }[];
}

/** A stone's record as something to draw. */
export const drawnOf = (stone: Stone): DrawnStone => ({
  length_mm: stone.length_mm,
  width_mm: stone.width_mm,
  thickness_mm: stone.thickness_mm,
  form: stone.form,
  sides_sealed: stone.sides_sealed,
  marks: stone.marks,
});

export interface StoneFaceProps {
  readonly stone: DrawnStone;
  readonly findings?: readonly DrawnFinding[];
  /** Findings whose verdict asks for work: drawn in oxide and with a square number. */
  readonly needsHand?: ReadonlySet<string>;
  readonly size: "row" | "page";
  readonly face?: "front" | "back";
  /** What the drawing shows, for somebody who cannot see it. Empty in rows that say it in words. */
  readonly label: string;
}

/** How many millimetres a CSS pixel is when the drawing fills a phone's width: sizes lettering. */
export const mmPerPx = (face: FaceSize): number => face.length_mm / 340;

/** The stone's face to scale with what was found on it; on a page its edge stands under it. */
export function StoneFace({ stone, findings = [], needsHand, size, face = "front", label }: StoneFaceProps) {
  const u = mmPerPx(stone);
  const aria = label === "" ? { "aria-hidden": true as const } : { role: "img" as const, "aria-label": label };
  if (size === "row") {
    return (
      <svg class={`${styles.face} ${styles.row}`} viewBox={viewBox(rowViewOf(stone))} {...aria}>
        <Outline stone={stone} face={face} row />
        {findings.map((f) => <FindingShape key={f.id} finding={f} hand={needsHand?.has(f.id) ?? false} u={2 * u} />)}
      </svg>
    );
  }
  const gap = 12 * u;
  const below = gap + stone.thickness_mm + 26 * u;
  return (
    <svg class={styles.face} viewBox={viewBox(viewOf(stone, 3 * u, below))} {...aria}>
      <Outline stone={stone} face={face} />
      <Findings stone={stone} findings={findings} {...(needsHand ? { needsHand } : {})} />
      <Edge stone={stone} top={stone.width_mm + gap} u={u} />
    </svg>
  );
}

/** The bare face: outline, quarry stamp or natural skin if this face has one. */
export function Outline(props: { stone: DrawnStone; face: "front" | "back"; row?: boolean; children?: ComponentChildren }) {
  const { stone, face, row = false } = props;
  const u = mmPerPx(stone);
  const irregular = stone.form === "irregular" ? ` ${styles.irregular}` : "";
  const marked = stone.marks?.filter((mark) => mark.face === face) ?? [];
  return (
    <g>
      <rect
        class={`${styles.stone}${irregular}${row ? ` ${styles.rowStone}` : ""}`}
        width={stone.length_mm}
        height={stone.width_mm}
        rx={row ? 0 : 2 * u}
      />
      {props.children}
      {marked.map((mark, i) => mark.kind === "stamp"
        ? (
          <rect
            key={i}
            class={styles.stamp}
            x={stone.length_mm * 0.44}
            y={stone.width_mm * 0.3}
            width={stone.length_mm * 0.12}
            height={stone.width_mm * 0.4}
          />
        )
        : <rect key={i} class={styles.stamp} x={6 * u} y={6 * u} width={stone.length_mm - 12 * u} height={stone.width_mm - 12 * u} />)}
    </g>
  );
}

/** All findings with their numbers; the number is what words and verdicts refer to. */
export function Findings(props: {
  stone: FaceSize;
  findings: readonly DrawnFinding[];
  needsHand?: ReadonlySet<string>;
  numbered?: boolean;
}) {
  const u = mmPerPx(props.stone);
  return (
    <g>
      {props.findings.map((f) => (
        <FindingShape key={f.id} finding={f} hand={props.needsHand?.has(f.id) ?? false} u={u} />
      ))}
      {props.numbered !== false && props.findings.map((f, i) => f.points.length > 0 && (
        <Plate key={f.id} n={i + 1} at={labelPoint(f.points, props.stone, 13 * u)} u={u} hand={props.needsHand?.has(f.id) ?? false} />
      ))}
    </g>
  );
}

function Plate({ n, at, u, hand }: { n: number; at: FacePoint; u: number; hand: boolean }) {
  const r = 10 * u;
  return (
    <g aria-hidden="true">
      {hand
        ? <rect class={`${styles.plate} ${styles.plateHand}`} x={at.x_mm - r} y={at.y_mm - r} width={2 * r} height={2 * r} />
        : <circle class={styles.plate} cx={at.x_mm} cy={at.y_mm} r={r} />}
      <text class={hand ? `${styles.plateText} ${styles.plateHandText}` : styles.plateText} x={at.x_mm} y={at.y_mm} font-size={13 * u}>{n}</text>
    </g>
  );
}

/** One finding. Shape tells the kind: solid line, dashes, diamond, notch, rings, dots. */
function FindingShape({ finding, hand, u }: { finding: DrawnFinding; hand: boolean; u: number }) {
  const first = finding.points[0];
  if (!first) return null;
  const cls = (name: string | undefined): string =>
    [name, hand ? styles.hand : "", finding.relieved ? styles.relieved : ""].filter(Boolean).join(" ");
  const r = Math.max((finding.size_mm ?? 0) / 2, 5 * u);
  const { x_mm: x, y_mm: y } = first;

  if (finding.points.length > 1) {
    const trace = polyline(finding.points);
    if (finding.kind === "chip") return <polygon class={cls(styles.solid)} points={trace} />;
    if (finding.kind === "soft_spot" || finding.kind === "stain") return <polygon class={cls(styles.dotted)} points={trace} />;
    return (
      <g>
        <polyline class={styles.halo} points={trace} />
        <polyline class={cls(finding.kind === "line" ? styles.line : styles.fissure)} points={trace} />
      </g>
    );
  }
  switch (finding.kind) {
    case "inclusion":
      return <polygon class={cls(styles.solid)} points={`${x},${y - r} ${x + r},${y} ${x},${y + r} ${x - r},${y}`} />;
    case "chip":
      return <polygon class={cls(styles.solid)} points={`${x - r},${y - r * 0.6} ${x + r},${y - r * 0.6} ${x},${y + r}`} />;
    case "soft_spot":
      return (
        <g>
          <circle class={cls(styles.hollow)} cx={x} cy={y} r={r} />
          <circle class={cls(styles.hollow)} cx={x} cy={y} r={r * 0.45} />
        </g>
      );
    case "stain":
      return <circle class={cls(styles.dotted)} cx={x} cy={y} r={r} />;
    case "fissure":
    case "line":
      return <line class={cls(styles.fissure)} x1={x - r} x2={x + r} y1={y} y2={y} />;
  }
}

/** The edge under the face, to the same scale, so that thickness can be seen and not only read. */
function Edge({ stone, top, u }: { stone: DrawnStone; top: number; u: number }) {
  return (
    <g>
      <rect
        class={`${styles.edge} ${stone.sides_sealed ? styles.sealed : ""}`}
        y={top}
        width={stone.length_mm}
        height={stone.thickness_mm}
        rx={2 * u}
      />
      <text class={styles.note} x={stone.length_mm / 2} y={top + stone.thickness_mm + 19 * u} font-size={14 * u}>
        {`${text(stone.length_mm)} × ${text(stone.width_mm)} × ${text(stone.thickness_mm)} mm`}
      </text>
    </g>
  );
}

const text = (mm: number): string => (Number.isInteger(mm) ? String(mm) : mm.toFixed(1));
