/** Lines of equal height through a raster, by marching squares: what to draw of a face's heights. */

export interface Raster {
  readonly columns: number;
  readonly rows: number;
  /** Row by row; the value at the middle of each cell. */
  readonly values: readonly number[];
}

/** A place between cells, counted in cells from the raster's corner. */
export interface CellPlace {
  readonly i: number;
  readonly j: number;
}

export interface Contour {
  readonly level: number;
  readonly segments: readonly (readonly [CellPlace, CellPlace])[];
}

const STEPS = [1, 2, 5];

/** The finest step of 1, 2 or 5 times a power of ten that makes at most `most` levels within a range. */
export function contourStep(range: number, most: number): number {
  if (!(range > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(range / most));
  return [...STEPS, 10].map((s) => s * power).find((step) => range / step <= most) ?? 10 * power;
}

/** Multiples of the step strictly inside the range. */
export function levelsBetween(low: number, high: number, step: number): number[] {
  const first = Math.floor(low / step) + 1;
  const count = Math.max(0, Math.ceil(high / step) - first);
  return Array.from({ length: count }, (_, k) => (first + k) * step);
}

/** The contour of one level. A square with two opposite high corners is split as its middle says. */
export function contour(raster: Raster, level: number): Contour {
  const at = (i: number, j: number): number => raster.values[j * raster.columns + i] ?? 0;
  const segments: (readonly [CellPlace, CellPlace])[] = [];
  for (let j = 0; j + 1 < raster.rows; j++) {
    for (let i = 0; i + 1 < raster.columns; i++) {
      const corners = [
        { i, j, z: at(i, j) }, { i: i + 1, j, z: at(i + 1, j) },
        { i: i + 1, j: j + 1, z: at(i + 1, j + 1) }, { i, j: j + 1, z: at(i, j + 1) },
      ];
      const cuts = corners.flatMap((p, k) => {
        const q = corners[(k + 1) % 4] ?? p;
        if (p.z >= level === q.z >= level) return [];
        const t = (level - p.z) / (q.z - p.z);
        return [{ i: p.i + t * (q.i - p.i) + 0.5, j: p.j + t * (q.j - p.j) + 0.5 }];
      });
      const [a, b, c, d] = cuts;
      if (a && b && c && d) {
        const high = (corners[0]?.z ?? 0) >= level;
        const middle = corners.reduce((sum, p) => sum + p.z, 0) / 4 >= level;
        segments.push(...(high === middle ? ([[a, b], [c, d]] as const) : ([[d, a], [b, c]] as const)));
      } else if (a && b) {
        segments.push([a, b]);
      }
    }
  }
  return { level, segments };
}
