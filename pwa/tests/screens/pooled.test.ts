import { beforeEach, describe, expect, it } from "vitest";
import type { Pooled, PooledScale, StoneGrade } from "../../src/domain/pooled";
import { nearestPoint, acrossAt, upAt, type FieldPoint } from "../../src/parts/Chart/geometry";
import { byStone, halfWidth, isIn, isReady, isStanding, mainGroup, ordered, type Standing } from "../../src/screens/Pooled/flags";
import { fieldPoints, intervalsShown } from "../../src/screens/Pooled/points";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { keepPooled, readPooled } from "../../src/store/pooled";

const grade = (stone_id: string, change: Partial<StoneGrade> = {}): StoneGrade => ({
  stone_id, grade: 3, low90: 2.7, high90: 3.3, sd: 0.2, n_trials: 6, n_testers: 4, n_steels: 3, group: 0, at_end: null, note: null, by_steel: [], ...change,
});
const scale = (id: string, stones: StoneGrade[]): PooledScale => ({
  scale: id, name: id, low: 1, high: 5, step: 0.5, method_version: "1", converged: true, n_off_scale: 0, stones, testers: [],
});
const rules = { min_testers: 3, min_steels: 2, max_half_width: 0.5 };
const flags = (stones: StoneGrade[], id = "a") => byStone([scale("hardness", stones)], rules).find((s) => s.stone_id === id)?.flags;

describe("what keeps a grade from being ready", () => {
  it("nothing, when testers, steels and interval meet the club's rules", () => {
    expect(flags([grade("a")])).toEqual([]);
  });

  it("is named with how much is there and how much is asked", () => {
    expect(flags([grade("a", { n_testers: 2, n_steels: 1, low90: 2, high90: 3.2 })])).toEqual([
      { kind: "testers", n: 2, min: 3 }, { kind: "steels", n: 1, min: 2 }, { kind: "wide", scale: "Hardness" },
    ]);
  });

  it("an interval exactly as wide as allowed is not too wide", () => {
    expect(halfWidth({ low90: 2.5, high90: 3.5 })).toBe(0.5);
    expect(flags([grade("a", { low90: 2.5, high90: 3.5 })])).toEqual([]);
  });

  it("goes by the least supported scale", () => {
    const two = byStone([scale("hardness", [grade("a")]), scale("ease", [grade("a", { n_testers: 1 })])], rules);
    expect(two[0]?.flags).toEqual([{ kind: "testers", n: 1, min: 3 }]);
  });

  it("a stone nobody tried says only that", () => {
    expect(flags([grade("a", { n_trials: 0, n_testers: 0, n_steels: 0, group: -1, low90: 1, high90: 5 })])).toEqual([{ kind: "untried" }]);
  });

  it("tells stones that share no tester with most others", () => {
    const stones = [grade("a", { group: 1 }), grade("b"), grade("c")];
    expect(mainGroup(stones)).toBe(0);
    expect(flags(stones)).toEqual([{ kind: "group" }]);
    expect(flags(stones, "b")).toEqual([]);
  });

  it("a grade at an end of the scale is told, but keeps nothing from being ready", () => {
    const [stone] = byStone([scale("hardness", [grade("a", { at_end: "low" })])], rules);
    expect(stone?.flags).toEqual([{ kind: "end_low", scale: "Hardness" }]);
    expect(isReady(stone!)).toBe(true);
    expect(isReady({ flags: [{ kind: "group" }] })).toBe(false);
  });

  it("signs that say something else are told with the grade they foretell", () => {
    const told = { ...scale("hardness", [grade("a"), grade("b")]), signs: { used: true, reason: "", checks: [{ stone_id: "a", foretold: 1.4, foretold_sd: 0.2, gap: 1.6, leading: null }] } };
    const [a, b] = byStone([told], rules);
    expect(a?.flags).toEqual([{ kind: "signs", scale: "Hardness", foretold: 1.4 }]);
    expect(isReady(a!)).toBe(true);
    expect(b?.flags).toEqual([]);
  });

  it("without the club's rules says only what needs none", () => {
    expect(byStone([scale("hardness", [grade("a", { n_testers: 1, at_end: "high" })])], null)[0]?.flags).toEqual([{ kind: "end_high", scale: "Hardness" }]);
  });
});

it("rows are ordered by code as people count, or by what is not ready, or by width", () => {
  const stones = byStone([scale("h", [grade("a"), grade("b", { n_testers: 1 }), grade("c", { low90: 2.6 })])], rules);
  const codes: Record<string, string> = { a: "L-10", b: "L-9", c: "L-2" };
  const by = (order: "code" | "flags" | "width") => ordered(stones, order, (id) => codes[id]!).map((s) => s.stone_id);
  expect(by("code")).toEqual(["c", "b", "a"]);
  expect(by("flags")).toEqual(["b", "c", "a"]);
  expect(by("width")).toEqual(["c", "b", "a"]);
});

describe("the field of two scales", () => {
  const square = { left: 50, top: 10, side: 400, inset: 0 };
  const scales = { across: { low: 1, high: 5, step: 0.5 }, up: { low: 1, high: 5, step: 0.5 } };
  const point = (id: string, a: number, u: number): FieldPoint => ({ id, code: id, across: { grade: a, low90: a, high90: a }, up: { grade: u, low90: u, high90: u }, doubtful: false });

  it("grows to the right and upward", () => {
    expect([acrossAt(1, scales.across, square), acrossAt(5, scales.across, square)]).toEqual([50, 450]);
    expect([upAt(1, scales.up, square), upAt(5, scales.up, square)]).toEqual([410, 10]);
  });

  it("a thumb takes the nearest stone, and none when none is near", () => {
    const points = [point("p", 3, 3), point("q", 3.2, 3)];
    expect(nearestPoint(points, { x: 268, y: 210 }, scales, square, 40)?.id).toBe("q");
    expect(nearestPoint(points, { x: 60, y: 20 }, scales, square, 40)).toBeNull();
  });
});

describe("kept pooled answers", () => {
  let db: WhetpanelDb;
  const session = (member: string): Session => ({
    member: { id: member, display_name: member, roles: ["dealer"] },
    club: { id: "c", name: "C", slug: "c", invented: true },
    view: "dealer",
    signed_in: true,
  });
  const answer = (purpose: "knife" | "razor"): Pooled => ({ purpose, method_version: "1", revision: 1, computed_at: "2026-01-01T00:00:00Z", scales: [] });
  beforeEach(() => { db = new WhetpanelDb(`pooled-${Math.random()}`); });

  it("come back with the time they were read, each purpose by itself", async () => {
    await db.keep("session", session("dealer"));
    await keepPooled(answer("knife"), new Date("2026-01-02T00:00:00Z"), db);
    await keepPooled(answer("razor"), new Date("2026-01-03T00:00:00Z"), db);
    expect((await readPooled("knife", db))?.read_at).toBe("2026-01-02T00:00:00.000Z");
    expect((await readPooled("razor", db))?.answer.purpose).toBe("razor");
    expect(await readPooled("plane_iron", db)).toBeNull();
  });

  it("are never shown to somebody else on the same phone", async () => {
    await db.keep("session", session("dealer"));
    await keepPooled(answer("knife"), new Date(), db);
    await db.keep("session", { ...session("tester"), view: "tester" });
    expect(await readPooled("knife", db)).toBeNull();
    await keepPooled(answer("razor"), new Date(), db);
    await db.keep("session", session("dealer"));
    expect(await readPooled("knife", db)).toBeNull();
  });
});

describe("which stones the map shows", () => {
  const stones = byStone([scale("hardness", [
    grade("ready"), grade("one", { n_testers: 1 }), grade("wide", { low90: 2, high90: 4 }), grade("none", { n_trials: 0, n_testers: 0, n_steels: 0 }),
  ])], rules);
  const those = (standing: Standing): string[] => stones.filter((stone) => isIn(stone, standing)).map((stone) => stone.stone_id);

  it("by how ready they are, and by what they lack", () => {
    expect([those("ready"), those("not_ready"), those("testers"), those("wide"), those("untried"), those("group")]).toEqual([
      ["ready"], ["one", "wide"], ["one"], ["wide"], ["none"], [],
    ]);
    expect([isStanding("wide"), isStanding("end_low"), isStanding("")]).toEqual([true, false, false]);
  });

  it("all with their intervals while they are few, the chosen one alone when they are many", () => {
    const many = (n: number) => byStone(["hardness", "fineness"].map((id) => scale(id, Array.from({ length: n }, (_, i) => grade(`s${i}`)))), rules);
    const drawn = (n: number, chosen: string | null): number =>
      fieldPoints(many(n), "hardness", "fineness", (id) => id, chosen).filter(({ across, up }) => across.low90 < across.high90 && up.low90 < up.high90).length;
    expect([drawn(intervalsShown, null), drawn(intervalsShown + 1, null), drawn(intervalsShown + 1, "s3")]).toEqual([intervalsShown, 0, 1]);
    const one = fieldPoints(many(200), "hardness", "fineness", (id) => id, null)[7];
    expect([one?.across.grade, one?.doubtful, one?.code]).toEqual([3, false, "s7"]);
  });
});
