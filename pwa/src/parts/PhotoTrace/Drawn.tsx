import { toPhoto, type TiedPhoto } from "../../domain/soundness/photo";
import { facePoint, type PhotoPoint } from "../../domain/units";
import type { DrawnFinding } from "../StoneFace";
import type { FacePoint } from "../StoneFace/geometry";
import styles from "./style.module.css";

const on = (photo: TiedPhoto, at: FacePoint): PhotoPoint => toPhoto(photo, facePoint(at.x_mm, at.y_mm));
const path = (points: readonly PhotoPoint[]): string => points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");

const ring = Array.from({ length: 24 }, (_, k) => (2 * Math.PI * k) / 24);

/** Findings laid over the photo where they were seen. `u`: photo pixels for about one pixel of the screen. */
export function DrawnFindings(props: {
  photo: TiedPhoto;
  findings: readonly DrawnFinding[];
  needsHand: ReadonlySet<string>;
  u: number;
}) {
  const { photo, u } = props;
  return (
    <g aria-hidden="true">
      {props.findings.map((finding, i) => {
        const first = finding.points[0];
        if (!first) return null;
        const hand = props.needsHand.has(finding.id) ? styles.hand : "";
        const points = finding.points.map((at) => on(photo, at));
        const middle = points[Math.floor((points.length - 1) / 2)] ?? points[0];
        return (
          <g key={finding.id} class={hand}>
            {points.length > 1
              ? <Line finding={finding} points={points} />
              : <Spot points={roundSpot(photo, first, finding.size_mm ?? 0, 5 * u)} open={finding.kind !== "inclusion" && finding.kind !== "chip"} />}
            {middle && <Plate n={i + 1} at={middle} u={u} />}
          </g>
        );
      })}
    </g>
  );
}

function Line({ finding, points }: { finding: DrawnFinding; points: readonly PhotoPoint[] }) {
  const patch = finding.kind === "chip" || finding.kind === "soft_spot" || finding.kind === "stain";
  return patch
    ? <><polygon class={styles.halo} points={path(points)} /><polygon class={styles.trace} points={path(points)} /></>
    : (
      <>
        <polyline class={styles.halo} points={path(points)} />
        <polyline class={finding.kind === "line" ? `${styles.trace} ${styles.dashed}` : styles.trace} points={path(points)} />
      </>
    );
}

/** A round spot of the face as the photo shows it: not round any more. Never smaller than can be seen. */
function roundSpot(photo: TiedPhoto, at: FacePoint, size_mm: number, least: number): PhotoPoint[] {
  const centre = on(photo, at);
  const edge = on(photo, { x_mm: at.x_mm + size_mm / 2, y_mm: at.y_mm });
  const grow = Math.max(1, least / Math.max(1e-6, Math.hypot(edge[0] - centre[0], edge[1] - centre[1])));
  const r = Math.max((size_mm / 2) * grow, 0.1);
  return ring.map((turn) => on(photo, { x_mm: at.x_mm + r * Math.cos(turn), y_mm: at.y_mm + r * Math.sin(turn) }));
}

const Spot = ({ points, open }: { points: readonly PhotoPoint[]; open: boolean }) => (
  <>
    <polygon class={styles.halo} points={path(points)} />
    <polygon class={open ? styles.trace : `${styles.trace} ${styles.solid}`} points={path(points)} />
  </>
);

function Plate({ n, at: [x, y], u }: { n: number; at: PhotoPoint; u: number }) {
  return (
    <g>
      <circle class={styles.plate} cx={x} cy={y - 20 * u} r={10 * u} />
      <text class={styles.plateText} x={x} y={y - 20 * u} font-size={13 * u}>{n}</text>
    </g>
  );
}
