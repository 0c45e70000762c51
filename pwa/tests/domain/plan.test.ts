import { beforeEach, describe, expect, it } from "vitest";
import { byTester, changed, keyOf, requestOf, reweighed, shareOf, unweighed, type Plan, type PlannedTrial, type PlanWish } from "../../src/domain/plan";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { keepPlan, readPlan } from "../../src/store/plan";

const wish = (change: Partial<PlanWish> = {}): PlanWish => ({ n: 20, out: [], each: 4, most: {}, stone_id: null, ...change });
const trial = (tester_id: string, stone_id: string): PlannedTrial => ({
  tester_id, stone_id, steel: "white_carbon", scale: "hardness", expected_gain: 0.1, half_width_before: 0.9, half_width_after: 0.6,
  links: false, settled: false, in_hands: false, why: ["Narrows hardness from ±0.9 to ±0.6."],
});

describe("what is asked of the service", () => {
  it("a tester who takes no part gets no trial, whatever number was set before", () => {
    const asked = requestOf("razor", wish({ out: ["b"], most: { a: 3, b: 5 } }), ["a", "b", "c"]);
    expect(asked.most_trials).toEqual({ a: 3, b: 0, c: 4 });
  });

  it("leaves out who is no longer a tester", () => {
    expect(requestOf("razor", wish({ out: ["gone"], most: { away: 2 } }), ["a"]).most_trials).toEqual({ a: 4 });
  });

  it("shares the trials out among those who take part, twice an even share at the most", () => {
    const asked = requestOf("razor", wish({ n: 20, each: null, out: ["d"] }), ["a", "b", "c", "d"]);
    expect(asked.most_trials).toEqual({ a: 14, b: 14, c: 14, d: 0 });
    expect([shareOf(5, 50), shareOf(20, 1), shareOf(20, 0)]).toEqual([1, 40, 40]);
  });

  it("asks about all stones unless one is named", () => {
    expect([requestOf("razor", wish(), []).stone_ids, requestOf("razor", wish({ stone_id: "s1" }), []).stone_ids]).toEqual([null, ["s1"]]);
  });
});

it("a list each, in the plan's order, with each trial's place in the whole plan", () => {
  const lists = byTester([trial("b", "s1"), trial("a", "s2"), trial("b", "s3")]);
  expect(lists.map(({ tester_id, errands }) => [tester_id, errands.map((one) => [one.place, one.stone_id])])).toEqual([
    ["b", [[1, "s1"], [3, "s3"]]], ["a", [[2, "s2"]]],
  ]);
});

describe("a plan that the dealer changes", () => {
  const plan: Plan = {
    purpose: "razor", scale: "hardness", target_half_width: 0.5, groups: 1, underway: 0, left_out: [],
    trials: [trial("a", "s1"), trial("b", "s2"), trial("a", "s3")],
  };
  const [first, second] = [trial("a", "s1"), trial("b", "s2")];
  const keys = (of: Plan): string[] => of.trials.map(keyOf);

  it("keeps every other line where it is, and says of the new one that it has no figure", () => {
    const other = { tester_id: "c", stone_id: "s2", steel: "blue" };
    const to = changed(plan, second, other);
    expect(to.trials).toEqual([first, unweighed(other, "hardness"), trial("a", "s3")]);
    expect([to.trials[1]?.half_width_after, to.trials[1]?.why]).toEqual([null, []]);
    expect(keys(changed(plan, first, null))).toEqual(keys({ ...plan, trials: plan.trials.slice(1) }));
  });

  it("puts no trial in twice", () => {
    expect(keys(changed(plan, first, second))).toEqual(keys({ ...plan, trials: plan.trials.slice(1) }));
    expect(changed(plan, first, first).trials).toHaveLength(3);
  });

  it("asks for figures of its own lines alone, whatever number was wished for", () => {
    const asked = requestOf("razor", wish({ n: 20 }), ["a", "b"], [first, second]);
    expect(asked.n).toBe(2);
    expect(asked.settled).toEqual([first, second].map(({ tester_id, stone_id, steel }) => ({ tester_id, stone_id, steel })));
    expect(requestOf("razor", wish({ n: 20 }), ["a"]).settled).toEqual([]);
  });

  it("takes the new figures, and leaves lines that were asked for as they were", () => {
    const weighed: Plan = { ...plan, underway: 1, trials: [{ ...second, half_width_after: 0.4 }, { ...trial("a", "s3"), half_width_after: 0.3 }] };
    const after = reweighed(plan, weighed);
    expect(after.trials.map((one) => one.half_width_after)).toEqual([0.6, 0.4, 0.3]);
    expect([keys(after), after.underway]).toEqual([keys(plan), 1]);
  });
});

describe("the kept plan", () => {
  let db: WhetpanelDb;
  let count = 0;
  const session = (id: string): Session => ({
    member: { id, display_name: id, roles: ["dealer"] }, club: { id: "c1", name: "Club", slug: "club", invented: true }, view: "dealer", signed_in: true,
  });
  const plan: Plan = { purpose: "razor", scale: "hardness", target_half_width: 0.5, groups: 1, underway: 0, left_out: [], trials: [trial("a", "s1")] };
  beforeEach(async () => {
    db = new WhetpanelDb(`plan-${++count}`);
    await db.keep("session", session("m1"));
  });

  it("is read back with what it was asked for, one for each purpose", async () => {
    await keepPlan({ wish: wish({ n: 7 }), answer: plan, own: [], proposed_at: null }, new Date("2026-03-06T19:00:00Z"), db);
    await keepPlan({ wish: wish(), answer: { ...plan, purpose: "knife", trials: [] }, own: [], proposed_at: null }, new Date("2026-03-06T20:00:00Z"), db);
    expect(await readPlan("razor", null, db)).toEqual({ read_at: "2026-03-06T19:00:00.000Z", wish: wish({ n: 7 }), answer: plan, own: [], proposed_at: "2026-03-06T19:00:00.000Z" });
    expect((await readPlan("knife", null, db))?.answer.trials).toEqual([]);
    expect(await readPlan("plane_iron", null, db)).toBeNull();
  });

  it("for one stone alone stands beside the one for all, and the next such takes its place", async () => {
    await keepPlan({ wish: wish(), answer: plan, own: [], proposed_at: null }, new Date(), db);
    await keepPlan({ wish: wish({ stone_id: "s1" }), answer: { ...plan, trials: [] }, own: [], proposed_at: null }, new Date(), db);
    await keepPlan({ wish: wish({ stone_id: "s2" }), answer: { ...plan, trials: [] }, own: [], proposed_at: null }, new Date(), db);
    const here = async (stone: string | null) => (await readPlan("razor", stone, db))?.answer.trials.length;
    expect([await here(null), await here("s1"), await here("s2")]).toEqual([1, undefined, 0]);
  });

  it("of an earlier version of the app is read with what it did not know left empty", async () => {
    const { tester_id, stone_id, steel, expected_gain, half_width_before, half_width_after } = trial("a", "s1");
    const old = { purpose: "razor" as const, scale: "hardness", target_half_width: 0.5, trials: [{ tester_id, stone_id, steel, expected_gain, half_width_before, half_width_after }] };
    await keepPlan({ wish: wish(), answer: plan, own: [], proposed_at: null }, new Date(), db);
    const kept = await db.note("plan");
    await db.keep("plan", { whose: kept?.whose ?? "", answers: { razor: { read_at: "2026-03-06T19:00:00Z", wish: wish(), answer: old } } });
    const read = await readPlan("razor", null, db);
    expect([read?.own, read?.answer.left_out, read?.answer.groups]).toEqual([[], [], 1]);
    expect(read?.answer.trials[0]).toMatchObject({ scale: "hardness", links: false, why: [], half_width_after: 0.6 });
  });

  it("is shown to nobody else on this phone", async () => {
    await keepPlan({ wish: wish(), answer: plan, own: [], proposed_at: null }, new Date(), db);
    await db.keep("session", session("m2"));
    expect(await readPlan("razor", null, db)).toBeNull();
  });
});
