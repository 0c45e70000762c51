/**
 * The face as a drawing: millimetres on the stone against units on the screen.
 *
 * The drawing's own unit is the millimetre, so findings are drawn where they were recorded
 * without any conversion, and only touches have to be brought back to the stone.
 */

export interface FacePoint {
  readonly x_mm: number;
  readonly y_mm: number;
}

export interface FaceSize {
  readonly length_mm: number;
  readonly width_mm: number;
}

/** The part of the plane that a drawing shows, in mm. */
export interface View {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A rectangle on the screen, in CSS pixels, as getBoundingClientRect gives it. */
export interface ScreenBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/**
 * List rows share one scale, so that a hand stone looks smaller than a bench stone.
 * 230 × 90 mm holds the usual bench sizes (common practice, no source); a larger stone is
 * shrunk to fit, since a row cannot grow.
 */
export const rowView = { length_mm: 230, width_mm: 90 } as const;

export function viewOf(face: FaceSize, margin_mm: number, below_mm = 0): View {
  return {
    x: -margin_mm,
    y: -margin_mm,
    width: face.length_mm + 2 * margin_mm,
    height: face.width_mm + 2 * margin_mm + below_mm,
  };
}

export function rowViewOf(face: FaceSize): View {
  const shrink = Math.max(1, face.length_mm / rowView.length_mm, face.width_mm / rowView.width_mm);
  const width = rowView.length_mm * shrink;
  const height = rowView.width_mm * shrink;
  return { x: 0, y: (face.width_mm - height) / 2, width, height };
}

export const viewBox = (view: View): string => `${view.x} ${view.y} ${view.width} ${view.height}`;

/**
 * The place on the stone under a touch. The drawing keeps its shape inside the box
 * (SVG's xMidYMid meet), so the spare room on two sides has to be taken off first.
 */
export function faceAt(clientX: number, clientY: number, box: ScreenBox, view: View): FacePoint {
  const pxPerMm = Math.min(box.width / view.width, box.height / view.height);
  const left = box.left + (box.width - view.width * pxPerMm) / 2;
  const top = box.top + (box.height - view.height * pxPerMm) / 2;
  return {
    x_mm: view.x + (clientX - left) / pxPerMm,
    y_mm: view.y + (clientY - top) / pxPerMm,
  };
}

const tenth = (mm: number): number => Math.round(mm * 10) / 10;

/**
 * Keeps a point on the face, and lets one that is all but at an edge be at the edge.
 *
 * Whether a fissure reaches an edge decides the verdict, and no finger can hit a line: within
 * `reach_mm` of an edge the edge is meant. The drawing marks such a point, so that the tester
 * sees what was understood and can move it.
 */
export function settle(point: FacePoint, face: FaceSize, reach_mm: number): FacePoint {
  const one = (at: number, end: number): number => {
    if (at <= reach_mm) return 0;
    if (at >= end - reach_mm) return end;
    return tenth(at);
  };
  return { x_mm: one(point.x_mm, face.length_mm), y_mm: one(point.y_mm, face.width_mm) };
}

export function atEdge(point: FacePoint, face: FaceSize): boolean {
  return point.x_mm <= 0 || point.y_mm <= 0 || point.x_mm >= face.length_mm || point.y_mm >= face.width_mm;
}

/** Which of `points` lies nearest, if one lies within `reach_mm`. */
export function nearest(points: readonly FacePoint[], to: FacePoint, reach_mm: number): number | null {
  let best: number | null = null;
  let least = reach_mm;
  points.forEach((point, i) => {
    const away = Math.hypot(point.x_mm - to.x_mm, point.y_mm - to.y_mm);
    if (away <= least) {
      best = i;
      least = away;
    }
  });
  return best;
}

/**
 * Where the number of a finding stands: beside the middle of its trace, square to it, on the side
 * where there is more stone, and never over the edge of the face.
 */
export function labelPoint(points: readonly FacePoint[], face: FaceSize, clear_mm: number): FacePoint {
  const at = Math.floor((points.length - 1) / 2);
  const from = points[at];
  if (!from) return { x_mm: face.length_mm / 2, y_mm: face.width_mm / 2 };
  const to = points[at + 1] ?? from;
  const [x, y] = [(from.x_mm + to.x_mm) / 2, (from.y_mm + to.y_mm) / 2];
  const along = Math.hypot(to.x_mm - from.x_mm, to.y_mm - from.y_mm);
  // A spot has no direction; its number stands above or below it.
  const [nx, ny] = along === 0 ? [0, 1] : [-(to.y_mm - from.y_mm) / along, (to.x_mm - from.x_mm) / along];
  const inward = nx * (face.length_mm / 2 - x) + ny * (face.width_mm / 2 - y) >= 0 ? 1 : -1;
  const inside = (value: number, end: number): number => Math.min(Math.max(value, clear_mm), Math.max(clear_mm, end - clear_mm));
  return {
    x_mm: inside(x + inward * 1.6 * clear_mm * nx, face.length_mm),
    y_mm: inside(y + inward * 1.6 * clear_mm * ny, face.width_mm),
  };
}

export const polyline = (points: readonly FacePoint[]): string =>
  points.map((point) => `${tenth(point.x_mm)},${tenth(point.y_mm)}`).join(" ");
