import { describe, expect, it } from "vitest";
import { balancedAxis, rulerAxis, signed } from "../../src/parts/Chart/axis";
import { position } from "../../src/parts/GradeRuler/geometry";
import { areaOf, dodge, markPath, markRadius, shapes, type Placed } from "../../src/parts/TrialMarks/geometry";

describe("axes", () => {
  it("lay a scale where the grade ruler lays it, ends included", () => {
    const scale = { low: 1, high: 5, step: 0.5 };
    const axis = rulerAxis(scale, 18, 342);
    for (const value of [0.2, 1, 2.5, 3.14, 5, 6]) expect(axis(value)).toBeCloseTo(position(value, scale, { length: 360, inset: 18 }), 9);
  });

  it("reach as far on both sides of zero, and never so little that noise fills the paper", () => {
    const axis = balancedAxis([0.31, -0.02], 0.1, 0, 200);
    expect(axis(0)).toBe(100);
    expect(axis(0.31) - 100).toBeCloseTo(100 - axis(-0.31), 9);
    expect(balancedAxis([0.001], 0.1, 0, 200).domain()).toEqual([-0.1, 0.1]);
  });

  it("say a number with its sign; what rounds to nothing has none", () => {
    expect([signed(0.123, 2), signed(-0.5, 1), signed(-0.004, 2)]).toEqual(["+0.12", "−0.5", "0.00"]);
  });
});

describe("marks of trials", () => {
  it("cover paper by their weight, and can always be seen", () => {
    expect(areaOf(0.4, 0.4, 5)).toBeCloseTo(2 * areaOf(0.2, 0.4, 5), 9);
    expect(areaOf(0, 0.4, 5)).toBeGreaterThan(0);
    expect(areaOf(0.4, 0.4, 200)).toBeLessThan(areaOf(0.4, 0.4, 5));
  });

  it("never lie over each other, and the heaviest stands nearest the ruler", () => {
    // A hundred marks at nine grades, as a check stone has them.
    const marks: Placed[] = Array.from({ length: 100 }, (_, i) => ({ x: 20 + 40 * ((i * 7) % 9), area: 40 + ((i * 13) % 90), steel: i % 6 }));
    const y = dodge(marks);
    const over = marks.flatMap((a, i) => marks.slice(i + 1).map((b, j) => {
      const apart = Math.hypot(a.x - b.x, (y[i] ?? 0) - (y[i + 1 + j] ?? 0));
      return apart - markRadius(a.area, a.steel) - markRadius(b.area, b.steel);
    }));
    expect(Math.min(...over)).toBeGreaterThan(1.9);
    const heaviest = marks.reduce((best, mark, i) => (mark.area > (marks[best]?.area ?? 0) ? i : best), 0);
    expect(y[heaviest]).toBeCloseTo(markRadius(marks[heaviest]?.area ?? 0, marks[heaviest]?.steel ?? 0), 9);
  });

  it("have a shape for each steel, none drawn beyond the room that it is given", () => {
    for (const [steel, { type }] of shapes.entries()) {
      const far: number[] = [];
      const to = (px: number, py: number): void => { far.push(Math.hypot(px, py)); };
      type.draw({
        moveTo: to, lineTo: to, closePath: () => undefined,
        rect: (px: number, py: number, w: number, h: number) => { to(px, py); to(px + w, py + h); },
        arc: (px: number, py: number, r: number) => { far.push(Math.hypot(px, py) + r); },
      } as unknown as Parameters<typeof type.draw>[0], 100);
      const most = Math.max(...far);
      expect(most).toBeLessThanOrEqual(markRadius(100, steel));
      expect(most).toBeGreaterThan(0.98 * markRadius(100, steel));
    }
    expect(new Set(shapes.map((_, steel) => markPath(steel, 100))).size).toBe(shapes.length);
    expect(markPath(shapes.length, 100)).toBe(markPath(0, 100));
  });
});
