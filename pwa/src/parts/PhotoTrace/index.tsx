import { useMemo, useRef, useState } from "preact/hooks";
import { Refused } from "../../domain/soundness";
import { looksTurned, tiePhoto, toPhoto, type TiedPhoto } from "../../domain/soundness/photo";
import { facePoint, faceSize, photoPoint, type PhotoPoint } from "../../domain/units";
import { photoTrace as say } from "../../words/photo";
import { isSpot } from "../StoneFace/Input";
import { atEdge, type FacePoint } from "../StoneFace/geometry";
import type { DrawnFinding } from "../StoneFace";
import { DrawnFindings } from "./Drawn";
import { Loupe, roomAbove } from "./Loupe";
import { faceAtTouch, kept, nearestPoint, photoAt, type PictureSize } from "./place";
import { useShownScale } from "./useShownScale";
import styles from "./style.module.css";

export interface PhotoTraceProps {
  readonly url: string;
  readonly picture: PictureSize;
  readonly face: { readonly length_mm: number; readonly width_mm: number };
  /** In the photo's pixels, clockwise from the origin corner; fewer than four while they are being set. */
  readonly corners: readonly PhotoPoint[];
  readonly onCorners: (corners: readonly PhotoPoint[]) => void;
  readonly findings: readonly DrawnFinding[];
  readonly needsHand: ReadonlySet<string>;
  readonly tracing: string | null;
  readonly onPoints: (id: string, points: FacePoint[]) => void;
  readonly onPick: (id: string) => void;
}

/** A fingertip covers about this many pixels of the screen. */
const fingerPx = 22;
/** So near an edge the edge itself is meant. */
const edgePx = 9;

type Tied = { readonly kind: "tied"; readonly photo: TiedPhoto } | { readonly kind: "open" } | { readonly kind: "refused"; readonly why: string };

function tie(corners: readonly PhotoPoint[], face: PhotoTraceProps["face"]): Tied {
  if (corners.length < 4) return { kind: "open" };
  try {
    return { kind: "tied", photo: tiePhoto(corners, faceSize(face.length_mm, face.width_mm)) };
  } catch (error) {
    if (error instanceof Refused) return { kind: "refused", why: error.message };
    throw error;
  }
}

interface Held {
  readonly what: "corner" | "point";
  readonly index: number;
  readonly at: PhotoPoint;
  readonly scale: number;
  readonly above: boolean;
}

/**
 * A photo of the face as an input. First its four corners, which give the scale; then each tap adds a point to the
 * traced finding, kept in millimetres of the face. What is held shows larger in a lens beside the finger. From the
 * keyboard, arrows move a cross (with Shift in larger steps), Enter sets, Backspace takes back.
 */
export function PhotoTrace(props: PhotoTraceProps) {
  const { picture, face, corners, findings, tracing } = props;
  const svg = useRef<SVGSVGElement>(null);
  const pointer = useRef<number | null>(null);
  const [held, setHeld] = useState<Held | null>(null);
  const [cross, setCross] = useState<PhotoPoint | null>(null);
  const [beside, setBeside] = useState(false);

  // What is said and what a touch means follow the corners as they were let go: a sentence that changes while a finger
  // is down could move the photo under it. The drawing follows the finger.
  const tied = useMemo(() => tie(corners, face), [corners, face]);
  const photo = tied.kind === "tied" ? tied.photo : null;
  const shown = held?.what === "corner" ? withPoint(corners, held.index, held.at) : corners;
  const drawnOn = held?.what === "corner" ? tie(shown, face) : tied;
  const drawnPhoto = drawnOn.kind === "tied" ? drawnOn.photo : null;
  const traced = findings.find((f) => f.id === tracing) ?? null;
  const spot = traced !== null && isSpot(traced.kind);
  const mode = photo === null ? "corners" : traced !== null ? "trace" : "look";
  const u = useShownScale(svg, picture);

  const points = useMemo(() => {
    if (!photo || !traced) return [];
    return traced.points.map((at) => toPhoto(photo, facePoint(at.x_mm, at.y_mm)));
  }, [photo, traced]);

  const put = (index: number, at: PhotoPoint, scale: number): void => {
    if (!photo || !traced) return;
    const place = faceAtTouch(photo, at, edgePx * scale);
    setBeside(place === null);
    if (place === null) return;
    const next = [...traced.points];
    next[index] = place;
    props.onPoints(traced.id, next);
  };

  const where = (event: PointerEvent) => {
    const box = svg.current?.getBoundingClientRect();
    return !box || box.width === 0 ? null : { ...photoAt(event.clientX, event.clientY, box, picture), above: roomAbove(event.clientY) };
  };

  const down = (event: PointerEvent): void => {
    const touch = where(event);
    if (!touch || event.button !== 0) return;
    const { at, scale, above } = touch;
    const hold = (what: Held["what"], index: number): void => {
      event.preventDefault();
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
      pointer.current = event.pointerId;
      setHeld({ what, index, at, scale, above });
    };
    if (mode === "trace") {
      hold("point", spot ? 0 : nearestPoint(points, at, fingerPx * scale) ?? points.length);
      return;
    }
    const corner = nearestPoint(corners, at, 1.3 * fingerPx * scale) ?? (corners.length < 4 ? corners.length : null);
    if (corner !== null) hold("corner", corner);
    if (corner !== null || !photo) return;
    const hit = findings.find((f) => f.points.some((p) => {
      const drawn = toPhoto(photo, facePoint(p.x_mm, p.y_mm));
      return Math.hypot(drawn[0] - at[0], drawn[1] - at[1]) <= fingerPx * scale;
    }));
    if (hit) props.onPick(hit.id);
  };
  // Where the photo lets the page scroll, a finger that holds something must not; the styles of what is drawn inside the
  // picture are not asked about that.
  const keepStill = (event: TouchEvent): void => {
    if (pointer.current !== null) event.preventDefault();
  };
  const move = (event: PointerEvent): void => {
    if (held === null || pointer.current !== event.pointerId) return;
    const touch = where(event);
    if (touch) setHeld({ ...held, at: touch.at, above: touch.above });
  };
  const release = (event: PointerEvent): void => {
    if (held === null || pointer.current !== event.pointerId) return;
    pointer.current = null;
    setHeld(null);
    if (held.what === "corner") props.onCorners(withPoint(corners, held.index, held.at));
    else put(held.index, held.at, held.scale);
  };
  const letGo = (): void => {
    pointer.current = null;
    setHeld(null);
  };

  const key = (event: KeyboardEvent): void => {
    if (mode === "look") return;
    const by = (event.shiftKey ? 20 : 2) * u;
    const from = cross ?? photoPoint(picture.width / 2, picture.height / 2);
    const steps: Record<string, readonly [number, number]> = {
      ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by],
    };
    const step = steps[event.key];
    if (step) setCross(kept(photoPoint(from[0] + step[0], from[1] + step[1]), picture));
    else if (event.key === "Enter" || event.key === " ") {
      setCross(from);
      if (mode === "trace") put(spot ? 0 : points.length, from, u);
      else if (corners.length < 4) props.onCorners([...corners, from]);
    } else if (event.key === "Backspace") {
      if (mode === "corners") props.onCorners(corners.slice(0, -1));
      else if (traced) props.onPoints(traced.id, traced.points.slice(0, -1));
    } else return;
    event.preventDefault();
  };

  const lens = held ?? (cross && mode !== "look" ? { at: cross, scale: u, above: true } : null);
  return (
    <div class={styles.input}>
      <p class={tied.kind === "refused" || beside ? `${styles.hint} ${styles.wrong}` : styles.hint} aria-live="polite">
        {beside && mode === "trace" ? say.off : hint(tied, corners.length, traced, spot)}
      </p>
      <div
        class={mode === "look" ? `${styles.pad} ${styles.still}` : styles.pad}
        role="application"
        tabIndex={0}
        aria-label={say.label(mode, mode === "corners" ? corners.length : points.length)}
        onTouchStart={keepStill}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={release}
        onPointerCancel={letGo}
        onKeyDown={key}
        onBlur={() => setCross(null)}
      >
        <svg ref={svg} class={styles.picture} viewBox={`0 0 ${picture.width} ${picture.height}`} aria-hidden="true">
          <image href={props.url} width={picture.width} height={picture.height} />
          <Corners corners={shown} face={face} tied={drawnPhoto !== null} quiet={mode === "trace"} u={u} />
          {drawnPhoto && <DrawnFindings photo={drawnPhoto} findings={findings} needsHand={props.needsHand} u={u} />}
          {traced && points.map((at, i) => {
            const place = traced.points[i];
            const edge = place !== undefined && atEdge(place, face);
            return <circle key={i} class={edge ? `${styles.vertex} ${styles.vertexEdge}` : styles.vertex} cx={at[0]} cy={at[1]} r={6 * u} />;
          })}
          {held?.what === "point" && <circle class={styles.vertex} cx={held.at[0]} cy={held.at[1]} r={6 * u} />}
          {lens && <Loupe url={props.url} picture={picture} at={lens.at} scale={lens.scale} above={lens.above} />}
        </svg>
      </div>
      {tracing === null && photo !== null && looksTurned(corners, photo.face) && (
        <div class="sheet needs-you">
          <p>{say.turned}</p>
          <button type="button" class="button" onClick={() => props.onCorners([...corners.slice(1), ...corners.slice(0, 1)])}>{say.turn}</button>
        </div>
      )}
      {tracing === null && corners.length > 0 && (
        <button type="button" class={`button ${styles.again}`} onClick={() => props.onCorners([])}>{say.again}</button>
      )}
    </div>
  );
}

function withPoint(points: readonly PhotoPoint[], index: number, at: PhotoPoint): PhotoPoint[] {
  const next = [...points];
  next[index] = at;
  return next;
}

function hint(tied: Tied, corners: number, traced: DrawnFinding | null, spot: boolean): string {
  if (tied.kind === "open") return say.corner(corners);
  if (tied.kind === "refused") return say.refused(tied.why);
  if (!traced) return say.ready;
  if (spot) return traced.points.length === 0 ? say.spot : say.moveSpot;
  return traced.points.length === 0 ? say.start : traced.points.length === 1 ? say.along : say.more;
}

/** The outline through the corners with its sizes, and a handle on each corner that a finger can hold. */
function Corners(props: { corners: readonly PhotoPoint[]; face: PhotoTraceProps["face"]; tied: boolean; quiet: boolean; u: number }) {
  const { corners, u } = props;
  const line = corners.map(([x, y]) => `${x},${y}`).join(" ");
  return (
    <g>
      <polyline class={styles.outlineHalo} points={props.tied ? `${line} ${line.split(" ")[0] ?? ""}` : line} />
      <polyline class={styles.outline} points={props.tied ? `${line} ${line.split(" ")[0] ?? ""}` : line} />
      {props.tied && <Size from={corners[0]} to={corners[1]} mm={props.face.length_mm} u={u} />}
      {props.tied && <Size from={corners[1]} to={corners[2]} mm={props.face.width_mm} u={u} />}
      {!props.quiet && corners.map(([x, y], i) => (
        <g key={i}>
          <circle class={styles.reach} cx={x} cy={y} r={26 * u} />
          <circle class={styles.handle} cx={x} cy={y} r={11 * u} />
          <text class={styles.handleText} x={x} y={y} font-size={13 * u}>{i + 1}</text>
        </g>
      ))}
    </g>
  );
}

function Size(props: { from: PhotoPoint | undefined; to: PhotoPoint | undefined; mm: number; u: number }) {
  const { from, to, u } = props;
  if (!from || !to) return null;
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  const words = `${Number.isInteger(props.mm) ? props.mm : props.mm.toFixed(1)} mm`;
  return (
    <g>
      <rect class={styles.sizePlate} x={x - 30 * u} y={y - 10 * u} width={60 * u} height={20 * u} />
      <text class={styles.sizeText} x={x} y={y} font-size={13 * u}>{words}</text>
    </g>
  );
}
