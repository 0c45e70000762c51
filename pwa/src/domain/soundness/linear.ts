/** The little linear algebra that flatness needs: a few unknowns, a few hundred readings. */

/** Solve a square system by elimination with row pivots; null if the smallest pivot is not above `least`. */
export function solve(matrix: readonly (readonly number[])[], right: readonly number[], least = 0): number[] | null {
  const n = right.length;
  const m = matrix.map((row, i) => [...row, right[i] ?? 0]);
  for (let k = 0; k < n; k++) {
    let p = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(at(m, i, k)) > Math.abs(at(m, p, k))) p = i;
    if (!(Math.abs(at(m, p, k)) > least)) return null;
    const pivotRow = m[p] ?? [];
    m[p] = m[k] ?? [];
    m[k] = pivotRow;
    for (let i = k + 1; i < n; i++) {
      const row = m[i] ?? [];
      const factor = (row[k] ?? 0) / (pivotRow[k] ?? 1);
      for (let j = k; j <= n; j++) row[j] = (row[j] ?? 0) - factor * (pivotRow[j] ?? 0);
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = at(m, i, n);
    for (let j = i + 1; j < n; j++) sum -= at(m, i, j) * (x[j] ?? 0);
    x[i] = sum / at(m, i, i);
  }
  return x;
}

/** Least squares by the normal equations; null if the columns cannot be told apart. Columns of size about 1. */
export function leastSquares(design: readonly (readonly number[])[], z: readonly number[], least: number): number[] | null {
  const n = design.length;
  const width = design[0]?.length ?? 0;
  const square = Array.from({ length: width }, (_, i) =>
    Array.from({ length: width }, (_, j) => design.reduce((sum, row) => sum + (row[i] ?? 0) * (row[j] ?? 0), 0) / n),
  );
  const right = Array.from({ length: width }, (_, i) => design.reduce((sum, row, k) => sum + (row[i] ?? 0) * (z[k] ?? 0), 0) / n);
  return solve(square, right, least);
}

/**
 * Maximise `gain`·x subject to `columns`·x = `right` and x ≥ 0 (right ≥ 0), by the two-phase simplex method on a
 * dense table, choosing by Bland's rule, which cannot cycle. Returns the shadow price of each row, that is the
 * answer of the dual programme; null if there is none.
 */
export function simplexPrices(
  columns: readonly (readonly number[])[],
  right: readonly number[],
  gain: readonly number[],
): number[] | null {
  const rows = right.length;
  const n = columns.length;
  // Each row starts with a variable of its own, which the first phase drives out.
  const table = right.map((b, i) => [
    ...columns.map((column) => column[i] ?? 0),
    ...right.map((_, k) => (k === i ? 1 : 0)),
    b,
  ]);
  const basis = right.map((_, i) => n + i);
  const first = [...columns.map(() => 0), ...right.map(() => -1)];
  if (!improve(table, basis, first, n + rows)) return null;
  const left = basis.reduce((sum, variable, i) => sum + (variable >= n ? (table[i]?.[n + rows] ?? 0) : 0), 0);
  if (left > TINY * 100) return null;
  driveOut(table, basis, n);
  const second = [...gain, ...right.map(() => 0)];
  if (!improve(table, basis, second, n)) return null;
  // The starting columns now hold the inverse of the basis.
  return right.map((_, k) =>
    basis.reduce((sum, variable, i) => sum + (second[variable] ?? 0) * (table[i]?.[n + k] ?? 0), 0),
  );
}

const TINY = 1e-11;
const MOST_STEPS = 20_000;

/** Pivot until no column below `open` gains. False if the programme has no bound or does not end. */
function improve(table: number[][], basis: number[], gain: readonly number[], open: number): boolean {
  for (let step = 0; step < MOST_STEPS; step++) {
    const enter = firstGaining(table, basis, gain, open);
    if (enter < 0) return true;
    let leave = -1;
    let least = Infinity;
    table.forEach((row, i) => {
      const pivot = row[enter] ?? 0;
      if (pivot <= TINY * 100) return;
      const ratio = (row.at(-1) ?? 0) / pivot;
      const better = ratio < least - TINY || (ratio <= least + TINY && (basis[i] ?? 0) < (basis[leave] ?? Infinity));
      if (better) {
        least = Math.min(least, ratio);
        leave = i;
      }
    });
    if (leave < 0) return false;
    pivotOn(table, basis, leave, enter);
  }
  return false;
}

function firstGaining(table: number[][], basis: number[], gain: readonly number[], open: number): number {
  for (let j = 0; j < open; j++) {
    if (basis.includes(j)) continue;
    let reduced = gain[j] ?? 0;
    table.forEach((row, i) => {
      reduced -= (gain[basis[i] ?? 0] ?? 0) * (row[j] ?? 0);
    });
    if (reduced > TINY * 100) return j;
  }
  return -1;
}

/** After the first phase a starting variable may stay at 0: change it for a true one where that is possible. */
function driveOut(table: number[][], basis: number[], n: number): void {
  basis.forEach((variable, i) => {
    if (variable < n) return;
    const j = (table[i] ?? []).findIndex((value, k) => k < n && Math.abs(value) > 1e-7);
    if (j >= 0) pivotOn(table, basis, i, j);
  });
}

function pivotOn(table: number[][], basis: number[], r: number, c: number): void {
  const row = table[r] ?? [];
  const pivot = row[c] ?? 1;
  row.forEach((value, j) => (row[j] = value / pivot));
  table.forEach((other, i) => {
    const factor = other[c] ?? 0;
    if (i === r || factor === 0) return;
    row.forEach((value, j) => (other[j] = (other[j] ?? 0) - factor * value));
  });
  basis[r] = c;
}

const at = (m: readonly (readonly number[])[], i: number, j: number): number => m[i]?.[j] ?? 0;
