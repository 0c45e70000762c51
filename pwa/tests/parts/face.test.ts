import { describe, expect, it } from "vitest";
import { atEdge, faceAt, labelPoint, nearest, rowViewOf, settle, viewOf } from "../../src/parts/StoneFace/geometry";

// 205 × 75 mm is a usual bench size (common practice, no source). Expected places are arithmetic.
const bench = { length_mm: 205, width_mm: 75 };

describe("a touch on the face", () => {
  it("is brought back to millimetres, with the spare room of the box taken off", () => {
    const view = viewOf(bench, 0);
    // A box twice as wide as needed: 75 mm high at 4 px a millimetre, the drawing in its middle.
    const box = { left: 100, top: 50, width: 1640, height: 300 };
    const at = faceAt(100 + 410 + 4 * 20, 50 + 4 * 10, box, view);
    expect(at.x_mm).toBeCloseTo(20, 9);
    expect(at.y_mm).toBeCloseTo(10, 9);
  });

  it("takes the margin into account", () => {
    const view = viewOf(bench, 5);
    const box = { left: 0, top: 0, width: 215 * 2, height: 85 * 2 };
    expect(faceAt(10, 10, box, view)).toEqual({ x_mm: 0, y_mm: 0 });
  });

  it("all but at an edge is at the edge, and one off the stone comes back to it", () => {
    expect(settle({ x_mm: 3.9, y_mm: 40 }, bench, 4)).toEqual({ x_mm: 0, y_mm: 40 });
    expect(settle({ x_mm: 100, y_mm: 72 }, bench, 4)).toEqual({ x_mm: 100, y_mm: 75 });
    expect(settle({ x_mm: 240, y_mm: -9 }, bench, 4)).toEqual({ x_mm: 205, y_mm: 0 });
    expect(settle({ x_mm: 4.2, y_mm: 40 }, bench, 4)).toEqual({ x_mm: 4.2, y_mm: 40 });
  });

  it("is kept to a tenth of a millimetre, finer than any finger", () => {
    expect(settle({ x_mm: 33.333333, y_mm: 40.06 }, bench, 1)).toEqual({ x_mm: 33.3, y_mm: 40.1 });
  });

  it("takes hold of the nearest point only within reach", () => {
    const points = [{ x_mm: 10, y_mm: 10 }, { x_mm: 14, y_mm: 10 }];
    expect(nearest(points, { x_mm: 13, y_mm: 10 }, 5)).toBe(1);
    expect(nearest(points, { x_mm: 60, y_mm: 10 }, 5)).toBeNull();
  });

  it("knows an edge when it is on one", () => {
    expect(atEdge({ x_mm: 205, y_mm: 20 }, bench)).toBe(true);
    expect(atEdge({ x_mm: 204, y_mm: 20 }, bench)).toBe(false);
  });
});

describe("the drawing", () => {
  it("shows all stones of a list to one scale", () => {
    const long = rowViewOf(bench);
    const hand = rowViewOf({ length_mm: 110, width_mm: 60 });
    expect(long.width).toBe(hand.width);
  });

  it("shrinks a stone that is too long for a row rather than cutting it", () => {
    const view = rowViewOf({ length_mm: 460, width_mm: 100 });
    expect(view.width).toBeGreaterThanOrEqual(460);
    expect(view.height).toBeGreaterThanOrEqual(100);
  });

  it("sets a finding's number beside its trace, however the trace runs", () => {
    for (const [dx, dy] of [[0, 30], [30, 0], [20, 20], [-20, 20]] as const) {
      const [a, b] = [{ x_mm: 100, y_mm: 20 }, { x_mm: 100 + dx, y_mm: 20 + dy }];
      const at = labelPoint([a, b], bench, 8);
      // Distance from a point to a line through two others (analytic geometry).
      const away = Math.abs(dx * (at.y_mm - a.y_mm) - dy * (at.x_mm - a.x_mm)) / Math.hypot(dx, dy);
      expect(away).toBeCloseTo(1.6 * 8, 6);
    }
  });

  it("keeps a finding's number on the stone", () => {
    const at = labelPoint([{ x_mm: 0, y_mm: 0 }], bench, 8);
    expect(at.x_mm).toBeGreaterThanOrEqual(8);
    expect(at.y_mm).toBeGreaterThanOrEqual(8);
  });
});
