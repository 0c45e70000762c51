import { describe, expect, it } from "vitest";
import type { Drift } from "../../src/domain/calibration";
import { againstPanel, leanOf, steadiness, wantsCheck } from "../../src/domain/mine";
import type { PooledScale, StoneGrade } from "../../src/domain/pooled";
import type { Trial } from "../../src/domain/records";
import { reachOf, xOf, yOf } from "../../src/parts/DriftChart/geometry";
import { mine as say } from "../../src/words/mine";

const grade = (stone_id: string, at: number, n_trials = 5): StoneGrade => ({
  stone_id, grade: at, low90: at - 0.5, high90: at + 0.5, sd: 0.3, n_trials, n_testers: 3, n_steels: 2, group: 1, at_end: null, note: null, by_steel: [],
});
const scale = (...stones: StoneGrade[]): PooledScale => ({
  scale: "hardness", name: "Hardness", low: 1, high: 5, step: 0.5, method_version: "1", converged: true, n_off_scale: 0, stones, testers: [],
});
const trial = (stone_id: string, hardness: number | null, more: Partial<Trial> = {}): Trial => ({
  stone_id, grades: hardness === null ? {} : { hardness }, finished_at: "2026-05-01T10:00:00Z", withdrawn: null, excluded: null, ...more,
} as Trial);

describe("my grades against the panel's", () => {
  it("takes the mean of my grades of a stone, the furthest from the panel first", () => {
    const rows = againstPanel(scale(grade("a", 3), grade("b", 4)), [trial("a", 3), trial("b", 2.5), trial("a", 3.5)]);
    expect(rows.map(({ stone_id, own, gap, outside }) => ({ stone_id, own, gap, outside }))).toEqual([
      { stone_id: "b", own: [2.5], gap: -1.5, outside: true },
      { stone_id: "a", own: [3, 3.5], gap: 0.25, outside: false },
    ]);
  });

  it("leaves out what does not count: other scales, withdrawn, left out, not pooled yet", () => {
    const mark = { at: "2026-06-01T00:00:00Z", by: "d", reason: "slip" };
    const trials = [trial("a", null), trial("a", 1, { withdrawn: mark }), trial("a", 1, { excluded: mark }), trial("b", 4), trial("c", 3)];
    expect(againstPanel(scale(grade("a", 3), grade("b", 4, 0)), trials)).toEqual([]);
  });
});

describe("what is said of a level", () => {
  const lean = (severity: number, half: number) => leanOf({ severity, severity_low90: severity - half, severity_high90: severity + half });

  it("speaks of a side only when the interval leaves out the other", () => {
    expect(lean(0.6, 0.2)).toEqual({ kind: "severe", steps: 0.6 });
    expect(lean(-0.6, 0.2)).toEqual({ kind: "mild", steps: 0.6 });
    expect(lean(0.1, 0.3)).toEqual({ kind: "level" });
    expect(lean(0.6, 0.8)).toEqual({ kind: "unknown" });
  });

  it("puts it in quarters of a step", () => {
    expect(say.lean.severe(0.61)).toBe("You grade half a step more severe than the panel.");
    expect(say.lean.mild(0.24)).toBe("You grade a quarter step milder than the panel.");
    expect(say.lean.mild(1.6)).toBe("You grade about 1.6 steps milder than the panel.");
  });

  it("compares steadiness by what a trial counts", () => {
    expect([1.5, 1, 0.5].map(steadiness)).toEqual(["steadier", "alike", "less"]);
  });
});

describe("when a check stone would help", () => {
  const drift = (state: Drift["state"]): Drift => ({ state, n_trials: 9, since: null, moved_by: null, note: "", points: [] });

  it("asks when the level moved and the check stones do not say that it is well", () => {
    expect(wantsCheck({ drift: drift("moved"), check_drift: drift("too_few") })).toBe(true);
    expect(wantsCheck({ drift: drift("moved"), check_drift: null })).toBe(true);
    expect(wantsCheck({ drift: drift("steady"), check_drift: drift("moved") })).toBe(true);
    expect(wantsCheck({ drift: drift("moved"), check_drift: drift("steady") })).toBe(false);
    expect(wantsCheck({ drift: drift("steady"), check_drift: drift("too_few") })).toBe(false);
  });
});

describe("the drift chart", () => {
  const frame = { left: 10, right: 110, top: 0, bottom: 100 };

  it("has room for every point and limit, alike above and below", () => {
    const reach = reachOf([{ z: -0.9, low: -0.4, high: 0.4 }]);
    expect(reach).toBeGreaterThanOrEqual(0.9);
    expect([yOf(reach, reach, frame), yOf(0, reach, frame), yOf(-reach, reach, frame)]).toEqual([0, 50, 100]);
  });

  it("spreads the points evenly, and a single one stands in the middle", () => {
    expect([0, 1, 2].map((i) => xOf(i, 3, frame))).toEqual([10, 60, 110]);
    expect(xOf(0, 1, frame)).toBe(60);
  });
});
