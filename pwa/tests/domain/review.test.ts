import { describe, expect, it } from "vitest";
import type { PooledScale, StoneGrade } from "../../src/domain/pooled";
import { effects, foretold, furthest, outliers, steelsTried, type Review, type ReviewScale, type ReviewTrial } from "../../src/domain/review";

const grade = (value: number): StoneGrade => ({
  stone_id: "s", grade: value, low90: value - 0.5, high90: value + 0.5, sd: 0.3, n_trials: 2, n_testers: 2, n_steels: 1, group: 1,
  at_end: null, note: "", by_steel: [],
});
const trial = (id: string, change: Partial<ReviewTrial> = {}): ReviewTrial => ({
  trial_id: id, tester_id: "t", blade_id: "b", steel: "white", face: "front", finished_at: "2026-01-01T00:00:00Z", reported: 3,
  state: "counts", excluded: null, severity: 0.1, steel_lean: 0, corrected: 3.1, expected: 3, residual: 0, standardised: 0, pull: 0.2,
  flag: "", weight: 0.4, after: { grade: 3, low90: 2, high90: 4 }, ...change,
});
const scale = (trials: readonly ReviewTrial[], change: Partial<ReviewScale> = {}): ReviewScale => ({
  scale: "hardness", name: "Hardness", low: 1, high: 5, step: 0.5, converged: true, level_note: "", stone: grade(3),
  signs: { used: false, reason: "", check: null }, before: { grade: 3, low90: 1, high90: 5 }, borrowed: 0.2, trials, ...change,
});
const review = (scales: readonly ReviewScale[]): Review => ({
  stone_id: "s", purpose: "knife", method_version: "1", revision: 1, computed_at: "2026-01-01T00:00:00Z", behind: false, scales,
});

describe("what sticks out", () => {
  it("is what is flagged, the furthest first; what does not count cannot", () => {
    const trials = [
      trial("near", { standardised: 3.1, flag: "high" }),
      trial("far", { standardised: -4, flag: "low" }),
      trial("out", { state: "excluded", standardised: null, flag: null, weight: null, after: null }),
      trial("usual", { standardised: 1.5 }),
    ];
    expect(outliers(scale(trials)).map((one) => one.trial_id)).toEqual(["far", "near"]);
    expect(furthest(scale(trials))?.trial_id).toBe("far");
    expect(furthest(scale([]))).toBeNull();
  });
});

describe("steels", () => {
  it("keep their order whatever the scale, so that each keeps its shape", () => {
    const scales = [scale([trial("a", { steel: "white" }), trial("b", { steel: "blue" })]), scale([trial("a", { steel: "white" })])];
    expect(steelsTried(review(scales))).toEqual(["blue", "white"]);
  });
});

describe("the effect of leaving a trial out", () => {
  const then = { scale: "hardness", stones: [grade(3.4), { ...grade(1), stone_id: "other" }] } as unknown as PooledScale;

  it("sets the stone's own grades side by side, for the scales that the trial graded", () => {
    const asked = review([scale([trial("a")]), scale([trial("b")], { scale: "ease", name: "Ease" })]);
    expect(effects(asked, "a", [then]).map((one) => [one.scale, one.now?.grade, one.then?.grade])).toEqual([["hardness", 3, 3.4]]);
  });

  it("says when nothing would be left", () => {
    expect(effects(review([scale([trial("a")])]), "a", [{ ...then, stones: [] }])[0]?.then).toBeNull();
  });

  it("is foretold without a signal by the pull, the other way round; not for a trial that is out", () => {
    expect(foretold(review([scale([trial("a")])]), "a")).toEqual([{ name: "Hardness", by: -0.2 }]);
    expect(foretold(review([scale([trial("a", { pull: null, state: "excluded" })])]), "a")).toEqual([]);
  });
});
