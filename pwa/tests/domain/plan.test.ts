import { beforeEach, describe, expect, it } from "vitest";
import { byTester, requestOf, shareOf, type Plan, type PlannedTrial, type PlanWish } from "../../src/domain/plan";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { keepPlan, readPlan } from "../../src/store/plan";

const wish = (change: Partial<PlanWish> = {}): PlanWish => ({ n: 20, out: [], each: 4, most: {}, stone_id: null, ...change });
const trial = (tester_id: string, stone_id: string): PlannedTrial => ({
  tester_id, stone_id, steel: "white_carbon", expected_gain: 0.1, half_width_before: 0.9, half_width_after: 0.6,
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

describe("the kept plan", () => {
  let db: WhetpanelDb;
  let count = 0;
  const session = (id: string): Session => ({
    member: { id, display_name: id, roles: ["dealer"] }, club: { id: "c1", name: "Club", slug: "club", invented: true }, view: "dealer", signed_in: true,
  });
  const plan: Plan = { purpose: "razor", scale: "hardness", target_half_width: 0.5, trials: [trial("a", "s1")] };
  beforeEach(async () => {
    db = new WhetpanelDb(`plan-${++count}`);
    await db.keep("session", session("m1"));
  });

  it("is read back with what it was asked for, one for each purpose", async () => {
    await keepPlan(wish({ n: 7 }), plan, new Date("2026-03-06T19:00:00Z"), db);
    await keepPlan(wish(), { ...plan, purpose: "knife", trials: [] }, new Date("2026-03-06T20:00:00Z"), db);
    expect(await readPlan("razor", null, db)).toEqual({ read_at: "2026-03-06T19:00:00.000Z", wish: wish({ n: 7 }), answer: plan });
    expect((await readPlan("knife", null, db))?.answer.trials).toEqual([]);
    expect(await readPlan("plane_iron", null, db)).toBeNull();
  });

  it("for one stone alone stands beside the one for all, and the next such takes its place", async () => {
    await keepPlan(wish(), plan, new Date(), db);
    await keepPlan(wish({ stone_id: "s1" }), { ...plan, trials: [] }, new Date(), db);
    await keepPlan(wish({ stone_id: "s2" }), { ...plan, trials: [] }, new Date(), db);
    const here = async (stone: string | null) => (await readPlan("razor", stone, db))?.answer.trials.length;
    expect([await here(null), await here("s1"), await here("s2")]).toEqual([1, undefined, 0]);
  });

  it("is shown to nobody else on this phone", async () => {
    await keepPlan(wish(), plan, new Date(), db);
    await db.keep("session", session("m2"));
    expect(await readPlan("razor", null, db)).toBeNull();
  });
});
