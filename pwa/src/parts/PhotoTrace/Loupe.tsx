import type { PhotoPoint } from "../../domain/units";
import type { PictureSize } from "./place";
import styles from "./style.module.css";

const radiusPx = 52;
const awayPx = 84;
const zoom = 2.5;

/** Whether a lens above a touch at this height of the screen can be seen. */
export const roomAbove = (clientY: number): boolean => clientY > awayPx + radiusPx;

/**
 * What lies under the finger, larger, beside it: above where the screen has room, else at its side. `scale` is photo pixels
 * for one pixel of the screen, so that the lens is as large on every photo. `above`: see `roomAbove`.
 */
export function Loupe(props: { url: string; picture: PictureSize; at: PhotoPoint; scale: number; above: boolean }) {
  const { url, picture, at, scale, above } = props;
  const r = radiusPx * scale;
  const [x, y] = at;
  // Below, the hand would cover it; so without room above it stands on the side where the picture goes on farther.
  const side = x > picture.width / 2 ? -1 : 1;
  const cx = above ? Math.min(Math.max(x, r), picture.width - r) : x + side * 1.1 * awayPx * scale;
  const cy = above ? y - awayPx * scale : Math.max(y, r);
  const seen = r / zoom;
  return (
    <g class={styles.loupe}>
      <clipPath id="loupe"><circle cx={cx} cy={cy} r={r} /></clipPath>
      <circle class={styles.lensGround} cx={cx} cy={cy} r={r} />
      <g clip-path="url(#loupe)">
        <svg x={cx - r} y={cy - r} width={2 * r} height={2 * r} viewBox={`${x - seen} ${y - seen} ${2 * seen} ${2 * seen}`}>
          <image href={url} width={picture.width} height={picture.height} />
        </svg>
        <path class={styles.lensHalo} d={`M${cx - r} ${cy}H${cx + r}M${cx} ${cy - r}V${cy + r}`} />
        <path class={styles.lensCross} d={`M${cx - r} ${cy}H${cx + r}M${cx} ${cy - r}V${cy + r}`} />
      </g>
      <circle class={styles.lensRim} cx={cx} cy={cy} r={r} />
    </g>
  );
}
