import { describe, expect, it } from "vitest";
import { contour, contourStep, levelsBetween, type Raster } from "../../../src/domain/soundness/contours";

const raster = (columns: number, rows: number, z: (x: number, y: number) => number): Raster => ({
  columns, rows, values: Array.from({ length: columns * rows }, (_, k) => z((k % columns) + 0.5, Math.floor(k / columns) + 0.5)),
});

describe("contours", () => {
  it("of a slope are straight lines just where the slope reaches the level", () => {
    const { segments } = contour(raster(20, 8, (x) => 10 * x), 70);

    expect(segments.length).toBe(7);
    for (const place of segments.flat()) expect(place.i).toBeCloseTo(7, 9);
  });

  it("of a bowl are circles: every place of z = x² + y² lies at the radius of its level", () => {
    const { segments } = contour(raster(80, 80, (x, y) => (x - 40) ** 2 + (y - 40) ** 2), 900);

    expect(segments.length).toBeGreaterThan(100);
    for (const { i, j } of segments.flat()) expect(Math.hypot(i - 40, j - 40)).toBeCloseTo(30, 1);
  });

  it("of a saddle never cross: every segment stays on its side of the middle", () => {
    const { segments } = contour(raster(2, 2, (x, y) => (x < 1 === y < 1 ? 1 : 0)), 0.4);

    expect(segments.length).toBe(2);
    for (const [p, q] of segments) expect(p.i + p.j < 2 === q.i + q.j < 2 || p.i > p.j === q.i > q.j).toBe(true);
  });

  it("take steps that people count in", () => {
    expect([contourStep(87, 8), contourStep(9, 8), contourStep(400, 8), contourStep(0, 8)]).toEqual([20, 2, 50, 1]);
  });

  it("stand at the multiples of the step inside the range", () => {
    expect(levelsBetween(-25, 41, 20)).toEqual([-20, 0, 20, 40]);
    expect(levelsBetween(0, 40, 20)).toEqual([20]);
  });
});
