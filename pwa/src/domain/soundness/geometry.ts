/**
 * Places, traces and pieces on a stone's face. The face is a rectangle with its origin in one corner, x along the
 * length and y along the width, in mm. A photo is tied to it by four tapped corners. Whatever cannot be computed
 * honestly is refused with the reason.
 */

import { deg, facePoint, mm, mm2, mm3 } from "../units";
import type { Deg, FacePoint, FaceSize, Mm, Mm2, Mm3, PhotoPoint } from "../units";
import { refuse } from "./refusal";
import { round4 } from "./words";

/** A tap this near an edge counts as on it: about what a fingertip on a photo can tell apart. */
export const TOUCH_MM = mm(1.5);

/** Edges this near a trace are those its angle is taken to. */
export const NEAR_MM = mm(10);

export type Reach = "inside" | "one_edge" | "corner" | "opposite_edges";

export type Edge = "start" | "end" | "near" | "far";

const EDGES: readonly Edge[] = ["start", "end", "near", "far"];

type Row = readonly [number, number, number];
type Pair = readonly [number, number];
type Leg = readonly [Pair, Pair];

/** The perspective map from photo pixels to mm on the face (a 3 × 3 homography). */
export type PhotoMap = readonly [Row, Row, Row];

const distance = (p: Pair, q: Pair): number => Math.hypot(p[0] - q[0], p[1] - q[1]);

/** Positive if the way from p through q to r turns one way, negative if the other, 0 if straight on. */
const turn = (p: Pair, q: Pair, r: Pair): number =>
  (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]);

function pairwise(points: readonly Pair[]): Leg[] {
  const legs: Leg[] = [];
  let before: Pair | undefined;
  for (const point of points) {
    if (before) legs.push([before, point]);
    before = point;
  }
  return legs;
}

/** The legs of a closed outline, the last point joined to the first. */
function around(points: readonly Pair[]): Leg[] {
  const first = points[0];
  return first ? pairwise([...points, first]) : [];
}

// -- the photo --------------------------------------------------------------------------------------------------

/**
 * The map from a photo to the face.
 *
 * `corners`: four photo points in turn round the face: the origin corner, the corner at the other end of the length,
 * the opposite corner, the corner at the other end of the width. Refused if they cross, coincide, lie in one line or
 * make a dent. Reference for the form: P. Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, 2.2.3.
 */
export function faceFromCorners(corners: readonly PhotoPoint[], face: FaceSize): PhotoMap {
  const { length_mm, width_mm } = face;
  if (!(length_mm > 0 && width_mm > 0 && Number.isFinite(length_mm) && Number.isFinite(width_mm))) {
    throw refuse("length_mm", "The face needs a length and a width above 0 mm.");
  }
  const [p0, p1, p2, p3] = corners;
  if (corners.length !== 4 || !p0 || !p1 || !p2 || !p3) throw refuse("corners", "Tap exactly four corners.");
  if (!corners.every((p) => Number.isFinite(p[0]) && Number.isFinite(p[1]))) {
    throw refuse("corners", "Every corner needs finite coordinates.");
  }
  const scale = Math.max(...corners.flatMap((p) => corners.map((q) => distance(p, q))));
  const turns = [turn(p0, p1, p2), turn(p1, p2, p3), turn(p2, p3, p0), turn(p3, p0, p1)];
  if (scale === 0 || turns.some((t) => Math.abs(t) <= 1e-6 * scale * scale)) {
    throw refuse("corners", "Two corners coincide or three lie in one line: tap the four corners again.");
  }
  const clockwise = turn(p0, p1, p2) > 0;
  if (turns.some((t) => t > 0 !== clockwise)) {
    throw refuse("corners", "The corners cross: tap them in turn round the face.");
  }
  const [x0, y0] = p0;
  const [x1, y1] = p1;
  const [x2, y2] = p2;
  const [x3, y3] = p3;
  const sx = x0 - x1 + x2 - x3;
  const sy = y0 - y1 + y2 - y3;
  const [dx1, dx2, dy1, dy2] = [x1 - x2, x3 - x2, y1 - y2, y3 - y2];
  const den = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / den;
  const h = (dx1 * sy - sx * dy1) / den;
  const [a, b, c] = [x1 - x0 + g * x1, x3 - x0 + h * x3, x0];
  const [d, e, f] = [y1 - y0 + g * y1, y3 - y0 + h * y3, y0];
  // The adjugate inverts a homography up to scale, and scale does not matter to it.
  const i0: Row = [e - f * h, c * h - b, b * f - c * e];
  const i1: Row = [f * g - d, a - c * g, c * d - a * f];
  const i2: Row = [d * h - e * g, b * g - a * h, a * e - b * d];
  // Dividing by the origin corner's depth makes the depth positive over the whole face.
  const depth = i2[0] * x0 + i2[1] * y0 + i2[2];
  const over = (row: Row, by: number): Row => [(row[0] / depth) * by, (row[1] / depth) * by, (row[2] / depth) * by];
  return [over(i0, length_mm), over(i1, width_mm), over(i2, 1)];
}

/** A photo point as a place on the face. Refused beyond the photo's horizon. */
export function toFace(map: PhotoMap, point: PhotoPoint): FacePoint {
  const [x, y] = point;
  const at = (row: Row): number => row[0] * x + row[1] * y + row[2];
  const w = at(map[2]);
  if (!(w > 1e-9)) throw refuse("points", "This point lies beyond the horizon of the face: tap on the stone.");
  return facePoint(at(map[0]) / w, at(map[1]) / w);
}

// -- traces -----------------------------------------------------------------------------------------------------

/** The piece a break would take off a corner: legs along the two edges, area on the face. */
export interface Piece {
  readonly leg_long_mm: Mm;
  readonly leg_short_mm: Mm;
  readonly area_mm2: Mm2;
}

/**
 * A line on the face. `angle_deg` (0–90) is the smallest angle to an edge within NEAR_MM, or to the nearest edge if
 * none is. So a trace that grows never seems safer because it came near another edge.
 */
export interface Trace {
  readonly length_mm: Mm;
  readonly angle_deg: Deg;
  readonly edge_distance_mm: Mm;
  readonly corner_distance_mm: Mm;
  readonly reach: Reach;
  readonly edges: readonly Edge[];
  readonly piece: Piece | null;
}

/**
 * Points kept to the face: a touch outside is brought to the edge, farther out is refused, naming the point.
 * Coordinates are kept to 0.0001 mm.
 */
export function place(
  points: readonly { readonly x_mm: number; readonly y_mm: number }[],
  face: FaceSize,
  field = "points",
): FacePoint[] {
  if (points.length === 0) throw refuse(field, "A finding needs at least one point on the face.");
  const { length_mm, width_mm } = face;
  return points.map(({ x_mm: x, y_mm: y }, i) => {
    if (!(Number.isFinite(x) && Number.isFinite(y))) {
      throw refuse(`${field}.${i}`, "This point needs finite coordinates.");
    }
    const inX = x + TOUCH_MM >= 0 && x <= length_mm + TOUCH_MM;
    const inY = y + TOUCH_MM >= 0 && y <= width_mm + TOUCH_MM;
    if (!(inX && inY)) {
      throw refuse(`${field}.${i}`, "This point lies off the face: check the stone's sizes or tap it again.");
    }
    return facePoint(round4(Math.min(Math.max(x, 0), length_mm)), round4(Math.min(Math.max(y, 0), width_mm)));
  });
}

/** The length of the line through the points. */
export const traceLength = (points: readonly FacePoint[]): Mm =>
  mm(pairwise(points).reduce((sum, [p, q]) => sum + distance(p, q), 0));

/** Everything the rules want to know of a traced line. Points as given by `place`; refused without length. */
export function measureTrace(points: readonly FacePoint[], face: FaceSize, field = "points"): Trace {
  const length = traceLength(points);
  if (points.length < 2 || length <= 0) {
    throw refuse(field, "The trace has no length: tap at least two different points along it.");
  }
  const gaps = edgeGaps(points, face);
  const edges = touchedEdges(gaps);
  let reach: Reach = edges.length === 0 ? "inside" : "one_edge";
  let piece: Piece | null = null;
  if (hugsAnEdge(points, face)) {
    // It splits off a sliver of that edge, even if it runs on to both corners; not the stone.
    reach = "one_edge";
  } else if (opposite(edges)) {
    reach = "opposite_edges";
  } else if (edges.length === 2) {
    piece = cornerPiece(points, edges, face);
    reach = piece ? "corner" : "one_edge";
  }
  return {
    length_mm: length,
    angle_deg: edgeAngle(points, gaps),
    edge_distance_mm: mm(Math.min(...EDGES.map((edge) => gaps[edge]))),
    corner_distance_mm: cornerDistance(pairwise(points), face),
    reach,
    edges,
    piece,
  };
}

type Gaps = Readonly<Record<Edge, number>>;

/** Distance of a line or outline from each edge. Edges are straight, so the nearest place is a tapped point. */
function edgeGaps(points: readonly FacePoint[], face: FaceSize): Gaps {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return {
    start: Math.min(...xs),
    end: Math.min(...xs.map((x) => face.length_mm - x)),
    near: Math.min(...ys),
    far: Math.min(...ys.map((y) => face.width_mm - y)),
  };
}

const touchedEdges = (gaps: Gaps): Edge[] => EDGES.filter((edge) => gaps[edge] <= TOUCH_MM);

const opposite = (edges: readonly Edge[]): boolean =>
  (edges.includes("start") && edges.includes("end")) || (edges.includes("near") && edges.includes("far"));

/** Whether all of a trace lies within a touch of one edge. */
const hugsAnEdge = (points: readonly FacePoint[], { length_mm, width_mm }: FaceSize): boolean =>
  points.every((p) => p[0] <= TOUCH_MM) ||
  points.every((p) => length_mm - p[0] <= TOUCH_MM) ||
  points.every((p) => p[1] <= TOUCH_MM) ||
  points.every((p) => width_mm - p[1] <= TOUCH_MM);

/** Acute angle of the trace's end-to-end direction to the edges it comes near. */
function edgeAngle(points: readonly FacePoint[], gaps: Gaps): Deg {
  const legs = pairwise(points);
  const first = points[0];
  const last = points.at(-1);
  let way: Leg | undefined = first && last ? [first, last] : undefined;
  if (!way || distance(...way) <= TOUCH_MM) {
    // A trace that comes back to its start has no end-to-end direction: its longest leg speaks for it.
    way = legs.reduce((best, leg) => (distance(...leg) > distance(...best) ? leg : best), legs[0] ?? [[0, 0], [0, 0]]);
  }
  const [p, q] = way;
  const along = Math.atan2(Math.abs(q[1] - p[1]), Math.abs(q[0] - p[0])) * (180 / Math.PI);
  const to: Gaps = { near: along, far: along, start: 90 - along, end: 90 - along };
  const limit = Math.max(NEAR_MM, Math.min(...EDGES.map((edge) => gaps[edge])));
  return deg(Math.min(...EDGES.filter((edge) => gaps[edge] <= limit).map((edge) => to[edge])));
}

function cornerDistance(legs: readonly Leg[], face: FaceSize): Mm {
  const { length_mm: l, width_mm: w } = face;
  const corners: Pair[] = [[0, 0], [l, 0], [l, w], [0, w]];
  return mm(Math.min(...corners.flatMap((corner) => legs.map(([p, q]) => distanceToLeg(corner, p, q)))));
}

/** Distance of a place from a straight leg between two points, mm. */
function distanceToLeg(at: Pair, p: Pair, q: Pair): number {
  const dx = q[0] - p[0];
  const dy = q[1] - p[1];
  const square = dx * dx + dy * dy;
  const t = square === 0 ? 0 : ((at[0] - p[0]) * dx + (at[1] - p[1]) * dy) / square;
  const kept = Math.min(Math.max(t, 0), 1);
  return Math.hypot(at[0] - p[0] - kept * dx, at[1] - p[1] - kept * dy);
}

/** The piece between a trace and the corner of the two edges it touches; null if it only runs into the corner. */
function cornerPiece(points: readonly FacePoint[], edges: readonly Edge[], face: FaceSize): Piece | null {
  const cx = edges.includes("start") ? 0 : face.length_mm;
  const cy = edges.includes("near") ? 0 : face.width_mm;
  const onSide = farthestOn(points, (p) => Math.abs(p[0] - cx), (p) => Math.abs(p[1] - cy));
  const onBase = farthestOn(points, (p) => Math.abs(p[1] - cy), (p) => Math.abs(p[0] - cx));
  if (onSide.index === onBase.index || Math.min(onSide.leg, onBase.leg) <= TOUCH_MM) return null;
  const side = points[onSide.index];
  const base = points[onBase.index];
  if (!side || !base) return null;
  const between =
    onSide.index < onBase.index
      ? points.slice(onSide.index, onBase.index + 1)
      : points.slice(onBase.index, onSide.index + 1).reverse();
  return {
    leg_long_mm: mm(Math.max(onSide.leg, onBase.leg)),
    leg_short_mm: mm(Math.min(onSide.leg, onBase.leg)),
    area_mm2: outlineArea([[cx, cy], [cx, side[1]], ...between, [base[0], cy]]),
  };
}

/** Of the points that touch an edge, the one farthest from the corner along it. */
function farthestOn(
  points: readonly FacePoint[],
  gap: (p: FacePoint) => number,
  leg: (p: FacePoint) => number,
): { index: number; leg: number } {
  let best = { index: -1, leg: -1 };
  points.forEach((p, index) => {
    if (gap(p) <= TOUCH_MM && leg(p) > best.leg) best = { index, leg: leg(p) };
  });
  return best;
}

// -- spots and outlines -----------------------------------------------------------------------------------------

/** A spot or an outlined patch; `piece` only where a patch takes a corner. */
export interface Spot {
  readonly size_mm: Mm;
  readonly area_mm2: Mm2;
  readonly edge_distance_mm: Mm;
  readonly corner_distance_mm: Mm;
  readonly reach: Reach;
  readonly piece: Piece | null;
}

/** Area inside a closed outline (shoelace formula). */
export const outlineArea = (points: readonly Pair[]): Mm2 =>
  mm2(Math.abs(around(points).reduce((sum, [p, q]) => sum + (p[0] * q[1] - q[0] * p[1]), 0)) / 2);

/** A round spot of a given diameter (0 if only a place is known). */
export function measureSpot(at: FacePoint, size: Mm, face: FaceSize): Spot {
  const radius = size / 2;
  const gaps = edgeGaps([at], face);
  const touched = EDGES.filter((edge) => gaps[edge] - radius <= TOUCH_MM);
  return {
    size_mm: size,
    area_mm2: mm2(Math.PI * radius * radius),
    edge_distance_mm: mm(Math.max(0, Math.min(...EDGES.map((edge) => gaps[edge])) - radius)),
    corner_distance_mm: mm(Math.max(0, cornerDistance([[at, at]], face) - radius)),
    reach: patchReach(touched),
    piece: null,
  };
}

/** A patch outlined by three points or more. Refused if the outline crosses itself or has no area. */
export function measureOutline(points: readonly FacePoint[], face: FaceSize, field = "points"): Spot {
  if (crossesItself(points)) {
    throw refuse(field, "The outline crosses itself: tap its points in turn round the patch.");
  }
  const area = outlineArea(points);
  if (area <= 0) throw refuse(field, "The outline has no area: tap at least three points round the patch.");
  const gaps = edgeGaps(points, face);
  const touched = touchedEdges(gaps);
  const reach = patchReach(touched);
  let piece: Piece | null = null;
  if (reach === "corner") {
    const cx = touched.includes("start") ? 0 : face.length_mm;
    const cy = touched.includes("near") ? 0 : face.width_mm;
    const legs = [
      farthestOn(points, (p) => Math.abs(p[0] - cx), (p) => Math.abs(p[1] - cy)).leg,
      farthestOn(points, (p) => Math.abs(p[1] - cy), (p) => Math.abs(p[0] - cx)).leg,
    ];
    piece = { leg_long_mm: mm(Math.max(...legs)), leg_short_mm: mm(Math.min(...legs)), area_mm2: area };
  }
  return {
    size_mm: mm(Math.max(...points.flatMap((p) => points.map((q) => distance(p, q))))),
    area_mm2: area,
    edge_distance_mm: mm(Math.min(...EDGES.map((edge) => gaps[edge]))),
    corner_distance_mm: cornerDistance(around(points), face),
    reach,
    piece,
  };
}

function patchReach(touched: readonly Edge[]): Reach {
  if (opposite(touched)) return "opposite_edges";
  return touched.length === 0 ? "inside" : touched.length === 1 ? "one_edge" : "corner";
}

function crossesItself(points: readonly FacePoint[]): boolean {
  const legs = around(points);
  return legs.some(([a, b], i) =>
    legs.some(([c, d], j) => {
      const neighbours = j === i + 1 || (i === 0 && j === legs.length - 1);
      return j > i && !neighbours && turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
    }),
  );
}

// -- depth ------------------------------------------------------------------------------------------------------

/** Angle of a fissure to the face, from how far it falls along how far it runs on the side. */
export function dip(rise: Mm, run: Mm): Deg {
  if (!(rise >= 0 && run >= 0 && rise + run > 0)) {
    throw refuse("rise_mm", "Rise and run must not be negative, and one must be above 0.");
  }
  return deg(Math.atan2(rise, run) * (180 / Math.PI));
}

/**
 * Volume of the stone that a piece of the face takes with it. With a known depth a corner tapers to a point (a third
 * of area × depth, the tetrahedron abc/6), an edge or an inner pit to a line (a half, the triangular prism). With no
 * depth known, or one through the stone, the piece is taken as going straight through: the most it can be.
 */
export function pieceVolume(area: Mm2, reach: Reach, depth: Mm | null, thickness: Mm): Mm3 {
  if (depth === null || depth >= thickness) return mm3(area * thickness);
  return mm3((area * depth) / (reach === "corner" ? 3 : 2));
}
