import { describe, expect, it } from "vitest";
import { gradeAt, gradeText, onScale, position, snap, stepFrom, ticks, wordsAt } from "../../src/parts/GradeRuler/geometry";

// Expected values are arithmetic on the scales themselves; nothing here comes from the code under test.
const halves = { low: 1, high: 5, step: 0.5 };
const tenths = { low: 0, high: 1, step: 0.1 };
const short = { low: 1, high: 5, step: 1.5 };
const track = { length: 360, inset: 24 };

describe("a touch on the ruler", () => {
  it("means the nearest half step", () => {
    expect(snap(3.24, halves)).toBe(3);
    expect(snap(3.26, halves)).toBe(3.5);
  });

  it("beyond an end means that end", () => {
    expect(gradeAt(-50, halves, track)).toBe(1);
    expect(gradeAt(900, halves, track)).toBe(5);
  });

  it("lands on grades without the dust of binary fractions", () => {
    expect(snap(0.3, tenths)).toBe(0.3);
    expect(ticks(tenths).map((t) => t.at)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]);
  });

  it("never gives a grade that a scale with an odd step does not have", () => {
    expect(ticks(short).map((t) => t.at)).toEqual([1, 2.5, 4]);
    expect(snap(5, short)).toBe(4);
  });

  it("at the place where a grade is drawn means that grade", () => {
    for (const tick of ticks(halves)) {
      expect(gradeAt(position(tick.at, halves, track), halves, track)).toBe(tick.at);
    }
  });
});

describe("the drawing", () => {
  it("puts the ends at the insets and the middle in the middle", () => {
    expect(position(1, halves, track)).toBe(24);
    expect(position(5, halves, track)).toBe(336);
    expect(position(3, halves, track)).toBe(180);
  });

  it("draws an interval that runs past the scale at its end", () => {
    expect(position(5.8, halves, track)).toBe(336);
  });

  it("tells whole levels from half steps", () => {
    expect(ticks(halves).filter((t) => t.whole).map((t) => t.at)).toEqual([1, 2, 3, 4, 5]);
    expect(ticks(halves)).toHaveLength(9);
  });
});

describe("a step by thumb or key", () => {
  it("goes half a level and stops at the ends", () => {
    expect(stepFrom(3, 1, halves)).toBe(3.5);
    expect(stepFrom(3, -1, halves)).toBe(2.5);
    expect(stepFrom(5, 1, halves)).toBe(5);
    expect(stepFrom(1, -1, halves)).toBe(1);
  });

  it("from nothing begins in the middle", () => {
    expect(stepFrom(null, 1, halves)).toBe(3);
    expect(stepFrom(null, -1, halves)).toBe(3);
  });
});

describe("words and figures", () => {
  const words = { "1": "soft", "2": "softish", "3": "medium" };

  it("a whole level has its own words, a half step stands between two", () => {
    expect(wordsAt(2, words)).toEqual({ kind: "level", text: "softish" });
    expect(wordsAt(2.5, words)).toEqual({ kind: "between", below: "softish", above: "medium" });
  });

  it("a level without words borrows from its neighbour, or says nothing", () => {
    expect(wordsAt(3.5, words)).toEqual({ kind: "level", text: "medium" });
    expect(wordsAt(4.5, words)).toEqual({ kind: "none" });
  });

  it("grades line up in a column", () => {
    expect(gradeText(3)).toBe("3.0");
    expect(gradeText(3.5)).toBe("3.5");
    expect(gradeText(3.25, 0.25)).toBe("3.25");
  });

  it("knows what is on the scale", () => {
    expect(onScale(3.5, halves)).toBe(true);
    expect(onScale(3.4, halves)).toBe(false);
    expect(onScale(5.5, halves)).toBe(false);
    expect(onScale(Number.NaN, halves)).toBe(false);
  });
});
