/**
 * The largest rectangle of a face that stays clear of its defects. The face is laid out in small cells; every cell a
 * defect touches is taken; the largest free rectangle of cells is found row by row. So the answer is always on the
 * safe side, by less than one cell (about 0.5 mm) on each side.
 */

import { mm, mm2, percent } from "../units";
import type { FacePoint, FaceSize, Mm, Mm2, Percent } from "../units";

const CELL_MM = 0.5;
const MOST_CELLS = 500;

/** A clear rectangle: its corner nearest the origin, its sides, area, and its share of the face. */
export interface UsableFace {
  readonly x_mm: Mm;
  readonly y_mm: Mm;
  readonly length_mm: Mm;
  readonly width_mm: Mm;
  readonly area_mm2: Mm2;
  readonly share_percent: Percent;
}

/** What to keep clear of: a line (two points or more), a closed outline, or a round spot (one point). */
export interface Obstacle {
  readonly points: readonly FacePoint[];
  readonly closed: boolean;
  readonly radius_mm: Mm;
}

interface Box {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

interface Cells {
  readonly nx: number;
  readonly ny: number;
  readonly dx: number;
  readonly dy: number;
  readonly taken: Uint8Array;
}

/**
 * The largest clear rectangle with sides along the face's edges; null if nothing is left. Of equal rectangles the one
 * found first counts.
 */
export function usableFace(face: FaceSize, obstacles: readonly Obstacle[]): UsableFace | null {
  const { length_mm, width_mm } = face;
  const cell = Math.max(CELL_MM, Math.max(length_mm, width_mm) / MOST_CELLS);
  const nx = Math.ceil(length_mm / cell);
  const ny = Math.ceil(width_mm / cell);
  const cells: Cells = { nx, ny, dx: length_mm / nx, dy: width_mm / ny, taken: new Uint8Array(nx * ny) };
  for (const obstacle of obstacles) {
    for (const box of boxes(obstacle, cells)) take(cells, box);
  }
  const best = largestFree(cells);
  if (!best) return null;
  const { dx, dy } = cells;
  return {
    x_mm: mm(best.i * dx),
    y_mm: mm(best.j * dy),
    length_mm: mm(best.wide * dx),
    width_mm: mm(best.high * dy),
    area_mm2: mm2(best.wide * dx * best.high * dy),
    share_percent: percent((100 * (best.wide * best.high)) / (nx * ny)),
  };
}

/** Small upright boxes that together cover the obstacle. */
function boxes(obstacle: Obstacle, cells: Cells): Box[] {
  const { points } = obstacle;
  const first = points[0];
  if (!first) return [];
  if (points.length === 1) return discBoxes(first, obstacle.radius_mm, cells);
  const legs = points.slice(1).map((q, i) => [points[i] ?? q, q] as const);
  const out: Box[] = [];
  if (obstacle.closed) {
    legs.push([points.at(-1) ?? first, first]);
    out.push(...innerBoxes(points, cells));
  }
  for (const [[x0, y0], [x1, y1]] of legs) {
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(x1 - x0) / cells.dx, Math.abs(y1 - y0) / cells.dy)));
    for (let k = 0; k < steps; k++) {
      const a = k / steps;
      const b = (k + 1) / steps;
      const [xa, xb] = [x0 + (x1 - x0) * a, x0 + (x1 - x0) * b];
      const [ya, yb] = [y0 + (y1 - y0) * a, y0 + (y1 - y0) * b];
      out.push({ x0: Math.min(xa, xb), x1: Math.max(xa, xb), y0: Math.min(ya, yb), y1: Math.max(ya, yb) });
    }
  }
  return out;
}

function discBoxes(at: FacePoint, radius: number, cells: Cells): Box[] {
  const steps = Math.max(1, Math.ceil((2 * radius) / cells.dy));
  return Array.from({ length: steps }, (_, k) => {
    const lo = -radius + (2 * radius * k) / steps;
    const hi = -radius + (2 * radius * (k + 1)) / steps;
    const nearest = lo <= 0 && 0 <= hi ? 0 : Math.min(Math.abs(lo), Math.abs(hi));
    const half = Math.sqrt(Math.max(0, radius * radius - nearest * nearest));
    return { x0: at[0] - half, x1: at[0] + half, y0: at[1] + lo, y1: at[1] + hi };
  });
}

/** The inside of an outline, row by row along the middle of each row of cells (even-odd rule). */
function innerBoxes(points: readonly FacePoint[], cells: Cells): Box[] {
  const ys = points.map((p) => p[1]);
  const out: Box[] = [];
  for (let j = Math.floor(Math.min(...ys) / cells.dy); j < Math.ceil(Math.max(...ys) / cells.dy); j++) {
    const y = (j + 0.5) * cells.dy;
    const cuts = points
      .map((p, i) => [p, points[(i + 1) % points.length] ?? p] as const)
      .filter(([p, q]) => p[1] <= y !== q[1] <= y)
      .map(([p, q]) => p[0] + ((q[0] - p[0]) * (y - p[1])) / (q[1] - p[1]))
      .sort((a, b) => a - b);
    for (let k = 0; k + 1 < cuts.length; k += 2) {
      out.push({ x0: cuts[k] ?? 0, x1: cuts[k + 1] ?? 0, y0: y, y1: y });
    }
  }
  return out;
}

function take(cells: Cells, box: Box): void {
  const [i0, i1] = span(box.x0, box.x1, cells.dx, cells.nx);
  const [j0, j1] = span(box.y0, box.y1, cells.dy, cells.ny);
  for (let j = j0; j < j1; j++) cells.taken.fill(1, j * cells.nx + i0, j * cells.nx + Math.max(i0, i1));
}

/**
 * The cells from one coordinate to another, the end not included. A nudge of a millionth of a cell keeps a defect
 * that lies just on a cell's border out of the next cell; one without any width on a border takes both sides.
 */
function span(low: number, high: number, size: number, count: number): [number, number] {
  let from = Math.floor(low / size + 1e-6);
  let to = Math.ceil(high / size - 1e-6);
  if (to <= from) {
    to = from + 1;
    if (from * size >= high - 1e-6 * size) from -= 1;
  }
  return [Math.max(from, 0), Math.min(to, count)];
}

interface FreeCells {
  readonly i: number;
  readonly j: number;
  readonly wide: number;
  readonly high: number;
}

/** Largest free rectangle of cells, by the stack of rising columns; one pass over all cells. */
function largestFree({ nx, ny, taken }: Cells): FreeCells | null {
  let best: FreeCells | null = null;
  let bestCells = 0;
  const heights = new Int32Array(nx + 1);
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) heights[i] = taken[j * nx + i] ? 0 : (heights[i] ?? 0) + 1;
    const stack: { start: number; height: number }[] = [];
    for (let i = 0; i <= nx; i++) {
      const height = heights[i] ?? 0;
      if (stack.at(-1)?.height === height) continue;
      let start = i;
      for (let top = stack.at(-1); top && top.height >= height; top = stack.at(-1)) {
        stack.pop();
        start = top.start;
        if (top.height * (i - start) > bestCells) {
          bestCells = top.height * (i - start);
          best = { i: start, j: j - top.height + 1, wide: i - start, high: top.height };
        }
      }
      stack.push({ start, height });
    }
  }
  return best;
}
