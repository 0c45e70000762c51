import { describe, expect, it } from "vitest";

import { heightPicture } from "../../../src/domain/soundness";
import { faceSize } from "../../../src/domain/units";

const face = faceSize(200, 60);
const grid = [10, 50, 90, 130, 170, 190].flatMap((x) =>
  [10, 30, 50].map((y) => ({ x_mm: x, y_mm: y, height_um: 0.004 * (x - 100) ** 2 + 0.3 * x })),
);

describe("the picture of the heights", () => {
  const picture = heightPicture(grid, face, 20, 6);

  it("stays between the lowest and the highest reading", () => {
    expect(picture.heights_um).toHaveLength(120);
    for (const height of picture.heights_um) {
      expect(height).toBeGreaterThanOrEqual(picture.lowest_um);
      expect(height).toBeLessThanOrEqual(picture.highest_um);
    }
  });

  it("meets a reading that lies in the middle of a cell", () => {
    // Four corners of a 2 × 2 raster, each reading in the middle of its cell; their plane is level by symmetry.
    const twist = [
      { x_mm: 50, y_mm: 15, height_um: 20 },
      { x_mm: 150, y_mm: 15, height_um: -20 },
      { x_mm: 50, y_mm: 45, height_um: -20 },
      { x_mm: 150, y_mm: 45, height_um: 20 },
    ];

    const heights = heightPicture(twist, face, 2, 2).heights_um;
    [20, -20, -20, 20].forEach((height, i) => expect(heights[i]).toBeCloseTo(height, 9));
  });

  it("shows a tilted flat face as flat", () => {
    const flat = heightPicture(grid.map((r) => ({ ...r, height_um: 0.2 * r.x_mm - 0.1 * r.y_mm })), face, 8, 4);

    for (const height of flat.heights_um) expect(height).toBeCloseTo(0, 9);
  });

  it("shows a hollow lower in the middle than at the ends", () => {
    const row = picture.heights_um.slice(60, 80);

    expect(row[10]).toBeLessThan(row[0] ?? NaN);
    expect(row[10]).toBeLessThan(row[19] ?? NaN);
  });
});
