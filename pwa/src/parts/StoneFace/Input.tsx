import { useRef, useState } from "preact/hooks";
import { Findings, mmPerPx, Outline, type DrawnFinding, type DrawnStone } from "./index";
import { atEdge, faceAt, nearest, settle, viewBox, viewOf, type FacePoint } from "./geometry";
import { face as say } from "../../words/parts";
import styles from "./style.module.css";

export interface FaceInputProps {
  readonly stone: DrawnStone;
  readonly face: "front" | "back";
  readonly findings: readonly DrawnFinding[];
  readonly needsHand?: ReadonlySet<string>;
  /** The finding that taps belong to; `null` while nothing is being traced. */
  readonly tracing: string | null;
  /** A photo of this face under the outline, cut to it. */
  readonly photoUrl?: string | null;
  readonly onPoints: (id: string, points: FacePoint[]) => void;
  /** Tapping near a finding while none is traced chooses it. */
  readonly onPick: (id: string) => void;
}

/** A fingertip covers about this many pixels; two places nearer than this cannot be told apart by touch. */
const fingerPx = 22;
/** So near an edge the edge itself is meant. Half a fingertip, since edges are wanted more often than not. */
const edgePx = 9;

/**
 * The face as an input: each tap adds a point to the traced finding, a drag moves a point.
 * From the keyboard, arrows move a cross by a millimetre (with Shift by ten), Enter sets a point,
 * Backspace takes the last one back.
 */
export function FaceInput(props: FaceInputProps) {
  const { stone, findings, tracing } = props;
  const u = mmPerPx(stone);
  const view = viewOf(stone, 12 * u);
  const svg = useRef<SVGSVGElement>(null);
  const held = useRef<{ pointer: number; index: number } | null>(null);
  const [cross, setCross] = useState<FacePoint | null>(null);
  /** A photo that cannot be fetched just now (no signal) leaves the plain outline, not a torn picture. */
  const [broken, setBroken] = useState<string | null>(null);

  const traced = findings.find((f) => f.id === tracing) ?? null;
  const spot = traced !== null && isSpot(traced.kind);

  const place = (event: PointerEvent): { point: FacePoint; mm: number } | null => {
    const box = svg.current?.getBoundingClientRect();
    if (!box || box.width === 0) return null;
    return { point: faceAt(event.clientX, event.clientY, box, view), mm: view.width / box.width };
  };

  const put = (index: number, point: FacePoint): void => {
    if (!traced) return;
    const points = [...traced.points];
    points[index] = point;
    props.onPoints(traced.id, points);
  };

  const down = (event: PointerEvent): void => {
    const at = place(event);
    if (!at || event.button !== 0) return;
    if (!traced) {
      const hit = pick(findings, at.point, fingerPx * at.mm);
      if (hit) props.onPick(hit);
      return;
    }
    event.preventDefault();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const near = nearest(traced.points, at.point, fingerPx * at.mm);
    // A spot has one point: a tap elsewhere moves it instead of adding a second.
    const index = spot ? 0 : near ?? traced.points.length;
    held.current = { pointer: event.pointerId, index };
    if (spot || near === null) put(index, settle(at.point, stone, edgePx * at.mm));
  };
  const move = (event: PointerEvent): void => {
    if (held.current?.pointer !== event.pointerId) return;
    const at = place(event);
    if (at) put(held.current.index, settle(at.point, stone, edgePx * at.mm));
  };
  const release = (): void => { held.current = null; };

  const key = (event: KeyboardEvent): void => {
    if (!traced) return;
    const by = event.shiftKey ? 10 : 1;
    const from = cross ?? { x_mm: stone.length_mm / 2, y_mm: stone.width_mm / 2 };
    const steps: Record<string, [number, number]> = {
      ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by],
    };
    const step = steps[event.key];
    if (step) {
      event.preventDefault();
      setCross(settle({ x_mm: from.x_mm + step[0], y_mm: from.y_mm + step[1] }, stone, 0));
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      put(spot ? 0 : traced.points.length, from);
      setCross(from);
    } else if (event.key === "Backspace" && traced.points.length > 0) {
      event.preventDefault();
      props.onPoints(traced.id, traced.points.slice(0, -1));
    }
  };

  return (
    <div class={styles.input}>
      <div
        class={`${styles.pad} ${traced ? "" : styles.still}`}
        role="application"
        tabIndex={0}
        aria-label={say.padLabel(traced ? traced.points.length : null)}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={release}
        onPointerCancel={release}
        onKeyDown={key}
        onBlur={() => setCross(null)}
      >
        <svg ref={svg} class={styles.face} viewBox={viewBox(view)} aria-hidden="true">
          <Outline stone={stone} face={props.face}>
            {props.photoUrl && props.photoUrl !== broken && (
              <image
                href={props.photoUrl}
                width={stone.length_mm}
                height={stone.width_mm}
                preserveAspectRatio="xMidYMid slice"
                onError={() => setBroken(props.photoUrl ?? null)}
              />
            )}
          </Outline>
          <Findings stone={stone} findings={findings} {...(props.needsHand ? { needsHand: props.needsHand } : {})} />
          {traced?.points.map((point, i) => (
            <circle
              key={i}
              class={atEdge(point, stone) ? `${styles.vertex} ${styles.vertexEdge}` : styles.vertex}
              cx={point.x_mm}
              cy={point.y_mm}
              r={6 * u}
            />
          ))}
          {cross && traced && (
            <g>
              <line class={styles.cross} x1={cross.x_mm - 14 * u} x2={cross.x_mm + 14 * u} y1={cross.y_mm} y2={cross.y_mm} />
              <line class={styles.cross} y1={cross.y_mm - 14 * u} y2={cross.y_mm + 14 * u} x1={cross.x_mm} x2={cross.x_mm} />
            </g>
          )}
        </svg>
      </div>
      <p class={styles.hint} aria-live="polite">
        {cross && traced ? say.crossAt(cross.x_mm, cross.y_mm) : hint(traced, spot)}
      </p>
    </div>
  );
}

function hint(traced: DrawnFinding | null, spot: boolean): string {
  if (!traced) return say.pickOrAdd;
  if (spot) return traced.points.length === 0 ? say.tapSpot : say.moveSpot;
  if (traced.points.length === 0) return say.tapStart;
  return traced.points.length === 1 ? say.tapAlong : say.tapMore;
}

/** Kinds that are a place with a size; the others are traced along their length. */
export const isSpot = (kind: DrawnFinding["kind"]): boolean =>
  kind === "inclusion" || kind === "soft_spot" || kind === "stain";

function pick(findings: readonly DrawnFinding[], at: FacePoint, reach_mm: number): string | null {
  const hit = findings.find((f) => nearest(f.points, at, reach_mm) !== null || f.points.some((p, i) => {
    const q = f.points[i + 1];
    return q !== undefined && distanceToSegment(at, p, q) <= reach_mm;
  }));
  return hit?.id ?? null;
}

function distanceToSegment(p: FacePoint, a: FacePoint, b: FacePoint): number {
  const dx = b.x_mm - a.x_mm;
  const dy = b.y_mm - a.y_mm;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((p.x_mm - a.x_mm) * dx + (p.y_mm - a.y_mm) * dy) / length2));
  return Math.hypot(p.x_mm - a.x_mm - t * dx, p.y_mm - a.y_mm - t * dy);
}
