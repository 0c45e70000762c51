import { useRef, useState } from "preact/hooks";
import { photoPoint, type PhotoPoint } from "../../domain/units";
import { mudShade as say } from "../../words/photo";
import { Loupe, roomAbove } from "../PhotoTrace/Loupe";
import { kept, nearestPoint, photoAt, type PictureSize } from "../PhotoTrace/place";
import { useShownScale } from "../PhotoTrace/useShownScale";
import { patchRadius } from "./patch";
import styles from "./style.module.css";

const fingerPx = 30;
const names = [say.mud, say.card] as const;

/** A photo on which two patches are tapped in turn, mud then card; a ring that is off can be dragged. */
export function PatchPick(props: {
  url: string;
  picture: PictureSize;
  patches: readonly PhotoPoint[];
  onPatches: (patches: readonly PhotoPoint[]) => void;
}) {
  const { picture, patches } = props;
  const svg = useRef<SVGSVGElement>(null);
  const pointer = useRef<number | null>(null);
  const [held, setHeld] = useState<{ index: number; at: PhotoPoint; scale: number; above: boolean } | null>(null);
  const [cross, setCross] = useState<PhotoPoint | null>(null);
  const u = useShownScale(svg, picture);
  const r = patchRadius(picture);
  const shown = held === null ? patches : withPatch(patches, held.index, held.at);

  const where = (event: PointerEvent) => {
    const box = svg.current?.getBoundingClientRect();
    return !box || box.width === 0 ? null : { ...photoAt(event.clientX, event.clientY, box, picture), above: roomAbove(event.clientY) };
  };
  const down = (event: PointerEvent): void => {
    const touch = where(event);
    if (!touch || event.button !== 0) return;
    const index = nearestPoint(patches, touch.at, fingerPx * touch.scale + r) ?? (patches.length < 2 ? patches.length : null);
    if (index === null) return;
    event.preventDefault();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    pointer.current = event.pointerId;
    setHeld({ index, ...touch });
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
    props.onPatches(withPatch(patches, held.index, held.at));
  };
  const key = (event: KeyboardEvent): void => {
    const by = (event.shiftKey ? 20 : 4) * u;
    const from = cross ?? photoPoint(picture.width / 2, picture.height / 2);
    const steps: Record<string, readonly [number, number]> = {
      ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by],
    };
    const step = steps[event.key];
    if (step) setCross(kept(photoPoint(from[0] + step[0], from[1] + step[1]), picture));
    else if (event.key === "Enter" && patches.length < 2) {
      setCross(from);
      props.onPatches([...patches, from]);
    } else if (event.key === "Backspace") props.onPatches(patches.slice(0, -1));
    else return;
    event.preventDefault();
  };

  const lens = held ?? (cross === null ? null : { at: cross, scale: u, above: true });
  return (
    <div class={styles.input}>
      <p class={styles.hint} aria-live="polite">{patches.length === 0 ? say.tapMud : patches.length === 1 ? say.tapCard : say.move}</p>
      <div
        class={patches.length < 2 ? styles.pad : `${styles.pad} ${styles.set}`}
        role="application"
        tabIndex={0}
        aria-label={say.label(patches.length)}
        onTouchStart={keepStill}
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={release}
        onPointerCancel={() => {
          pointer.current = null;
          setHeld(null);
        }}
        onKeyDown={key}
        onBlur={() => setCross(null)}
      >
        <svg ref={svg} class={styles.picture} viewBox={`0 0 ${picture.width} ${picture.height}`} aria-hidden="true">
          <image href={props.url} width={picture.width} height={picture.height} />
          {shown.map((at, i) => <Ring key={i} at={at} r={r} u={u} words={names[i] ?? ""} below={at[1] < picture.height / 2} />)}
          {lens && <Loupe url={props.url} picture={picture} at={lens.at} scale={lens.scale} above={lens.above} />}
        </svg>
      </div>
    </div>
  );
}

function withPatch(patches: readonly PhotoPoint[], index: number, at: PhotoPoint): PhotoPoint[] {
  const next = [...patches];
  next[index] = at;
  return next;
}

function Ring({ at: [x, y], r, u, words, below }: { at: PhotoPoint; r: number; u: number; words: string; below: boolean }) {
  const [w, h] = [(8 * words.length + 10) * u, 20 * u];
  const top = below ? y + r + 6 * u : y - r - 6 * u - h;
  return (
    <g>
      <circle class={styles.grip} cx={x} cy={y} r={r + 20 * u} />
      <circle class={styles.halo} cx={x} cy={y} r={r} />
      <circle class={styles.ring} cx={x} cy={y} r={r} />
      <rect class={styles.plate} x={x - w / 2} y={top} width={w} height={h} />
      <text class={styles.text} x={x} y={top + h / 2} font-size={13 * u}>{words}</text>
    </g>
  );
}
