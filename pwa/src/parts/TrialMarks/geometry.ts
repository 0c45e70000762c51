/** Where the marks of trials stand under a ruler: each at its grade, none over another. Pure. */
import { symbol, symbolCircle, symbolCross, symbolDiamond, symbolSquare, symbolStar, symbolTriangle } from "d3-shape";

/** A mark as it is to be drawn: where along the ruler, how large (area in drawing units²), and of which steel. */
export interface Placed {
  readonly x: number;
  readonly area: number;
  readonly steel: number;
}

/** The shapes that steels get in turn, with how far each reaches from its middle: radii of the circle of equal area. */
export const shapes = [
  { type: symbolCircle, reach: 1 },
  { type: symbolSquare, reach: 1.26 },
  { type: symbolTriangle, reach: 1.56 },
  { type: symbolDiamond, reach: 1.65 },
  { type: symbolCross, reach: 1.26 },
  { type: symbolStar, reach: 1.68 },
] as const;

/** A club with more steels than shapes begins again. */
const shapeOf = (steel: number): (typeof shapes)[number] => shapes[Math.max(0, steel) % shapes.length] ?? shapes[0];

/** The outline of a steel's mark about its middle. */
export const markPath = (steel: number, area: number): string => symbol(shapeOf(steel).type, area)() ?? "";

/** Half the room that a mark takes. */
export const markRadius = (area: number, steel: number): number => shapeOf(steel).reach * Math.sqrt(area / Math.PI);

const leastArea = 40;

/** Area by weight, so that twice the weight covers twice the paper. The heaviest gets smaller where there are many. */
export function areaOf(weight: number, heaviest: number, n: number): number {
  const most = Math.min(520, Math.max(130, 6500 / Math.max(1, n)));
  const share = heaviest > 0 ? Math.max(0, weight) / heaviest : 0;
  return Math.max(leastArea, share * most);
}

/**
 * How far under the ruler each mark stands: the heaviest next to it, every further one as near as it can be without
 * touching another. Answers in the order given.
 */
export function dodge(marks: readonly Placed[], gap = 2): number[] {
  const order = marks.map((_, i) => i).sort((a, b) => (marks[b]?.area ?? 0) - (marks[a]?.area ?? 0) || a - b);
  const y = marks.map(() => 0);
  const done: { x: number; y: number; r: number }[] = [];
  for (const i of order) {
    const mark = marks[i];
    if (mark === undefined) continue;
    const r = markRadius(mark.area, mark.steel);
    const near = done.filter((other) => Math.abs(other.x - mark.x) < other.r + r + gap);
    // It either stands right under the ruler or just under one of its neighbours.
    const places = [r, ...near.map((other) => other.y + Math.sqrt((other.r + r + gap) ** 2 - (other.x - mark.x) ** 2))].sort((a, b) => a - b);
    const free = places.find((at) => near.every((other) => Math.hypot(other.x - mark.x, other.y - at) >= other.r + r + gap - 1e-6));
    y[i] = free ?? r;
    done.push({ x: mark.x, y: y[i] ?? r, r });
  }
  return y;
}
