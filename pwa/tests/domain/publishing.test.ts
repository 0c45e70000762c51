import { describe, expect, it } from "vitest";
import { countToReissue, latestOf, mendOf, stateOf, type MovedSlip, type SeenSlip } from "../../src/domain/publishing";
import type { Slip } from "../../src/domain/records";

/** Sentences as the service says them (server/whetpanel/core/readiness.py). */
const byTrials = [
  "Nobody has tried this stone for this purpose yet.",
  "1 of 3 testers have tried it: ask 2 more.",
  "1 of 2 steels were tried: try it with 1 more.",
  "Hardness of the stone is known to ± 0.59, the club asks for ± 0.5: more trials narrow it.",
  "No shared tester links it to most of your stones, so its grade does not stand beside theirs: ask for a linking trial.",
];
const byWork = [
  "Relieve below the face (front): This line catches the edge or scratches the finish.",
  "Inspect again (back): A stain cannot catch or scratch: there is an inclusion or a line here.",
];

it("sends open work to the work list and everything else to trials", () => {
  expect(byTrials.map(mendOf)).toEqual(byTrials.map(() => "trials"));
  expect(byWork.map(mendOf)).toEqual(byWork.map(() => "work"));
});

const withdrawn = { at: "2026-03-01T10:00:00Z", by: "m1", reason: "Chipped in the post" };
const slip = (id: string, change: Partial<Slip> = {}, state: SeenSlip["state"] = "sent"): SeenSlip => ({
  record: { id, purpose: "razor", code: `CODE-${id}`, withdrawn: null, ...change } as Slip, state,
});
const moved = (slip_id: string, scale = "hardness"): MovedSlip => ({ slip_id, stone_id: "s1", purpose: "razor", scale, published: 3.5, now: 4.1 });

describe("a slip's state", () => {
  it("is that of the latest one, unless later trials have moved its grades", () => {
    const all = [slip("1"), slip("2")];
    expect(all.map((one) => stateOf(one, all, []))).toEqual(["followed", "current"]);
    expect(all.map((one) => stateOf(one, all, [moved("2")]))).toEqual(["followed", "moved"]);
  });

  it("of another purpose does not follow it", () => {
    const all = [slip("1"), slip("2", { purpose: "knife" })];
    expect(all.map((one) => stateOf(one, all, []))).toEqual(["current", "current"]);
  });

  it("is current again when the one that followed is withdrawn", () => {
    const all = [slip("1"), slip("2", { withdrawn })];
    expect(all.map((one) => stateOf(one, all, []))).toEqual(["current", "withdrawn"]);
  });

  it("is waiting or refused as long as it has no code, and hides no issued one", () => {
    const all = [slip("1"), slip("2", { code: "" }, "waiting"), slip("3", { code: "" }, "needs_you")];
    expect(all.map((one) => stateOf(one, all, []))).toEqual(["current", "waiting", "refused"]);
    expect(latestOf(all, "razor")?.record.id).toBe("1");
    expect(latestOf(all, "knife")).toBeNull();
  });
});

it("counts a slip that moved on two scales once", () => {
  expect(countToReissue([moved("1"), moved("1", "fineness"), moved("2")])).toBe(2);
  expect(countToReissue([])).toBe(0);
});
