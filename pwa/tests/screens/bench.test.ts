import { describe, expect, it } from "vitest";
import type { Inspection, Stone, Trial, Verdict } from "../../src/domain/records";
import { differences, fieldWords, valueWords } from "../../src/screens/Bench/differences";
import { nextStones } from "../../src/screens/Bench/next";

const stone = (id: string): Stone => ({ id, code: id }) as unknown as Stone;
const looked = (stone_id: string, more: Partial<Inspection> = {}): Inspection =>
  ({ stone_id, face: "front", inspected_at: "2026-03-01T10:00:00Z", withdrawn: null, verdicts: [], thickness_mm: 20, ...more }) as unknown as Inspection;
const tried = (stone_id: string, more: Partial<Trial> = {}): Trial =>
  ({ stone_id, face: "front", created_by: "me", withdrawn: null, thickness_mm: 20, finished_at: "2026-03-01T12:00:00Z", ...more }) as unknown as Trial;

const next = (given: { stones?: Stone[]; inspections?: Inspection[]; trials?: Trial[]; memberId?: string }) =>
  nextStones({ stones: [], inspections: [], lappings: [], trials: [], memberId: "me", confirmDepthMm: 1, ...given });

describe("what to try next", () => {
  it("names untried stones first, those not yet looked over last, and leaves out what was tried", () => {
    const list = next({
      stones: [stone("seen"), stone("new"), stone("done")],
      inspections: [looked("seen"), looked("done")],
      trials: [tried("done")],
    });
    expect(list.map(({ stone: { id }, why }) => [id, why])).toEqual([["seen", "not_tried"], ["new", "inspect_first"]]);
  });

  it("leaves out a stone that asks for work first", () => {
    const loose = { urgency: "before_use", verdict: "glue" } as unknown as Verdict;
    expect(next({ stones: [stone("a")], inspections: [looked("a", { verdicts: [loose] })] })).toEqual([]);
  });

  it("counts neither others' trials nor withdrawn ones as mine", () => {
    const list = next({
      stones: [stone("a"), stone("b")],
      inspections: [looked("a"), looked("b")],
      trials: [tried("a", { created_by: "you" }), tried("b", { withdrawn: { at: "", by: null, reason: "" } })],
    });
    expect(list.length).toBe(2);
  });

  it("asks to confirm a stone that lost more than the club's depth since, and puts it first", () => {
    const given = (thickness_mm: number) => ({
      stones: [stone("b"), stone("a")],
      inspections: [looked("b"), looked("a", { thickness_mm, inspected_at: "2026-03-02T10:00:00Z" })],
      trials: [tried("a")],
    });
    expect(next(given(18.9)).map(({ why }) => why)).toEqual(["confirm", "not_tried"]);
    expect(next(given(19)).map(({ why }) => why)).toEqual(["not_tried"]);
  });

  it("spreads a club over its stones: first places differ between members, and stay for one", () => {
    const stones = Array.from({ length: 40 }, (_, n) => stone(`stone-${n}`));
    const inspections = stones.map(({ id }) => looked(id));
    const first = (memberId: string) => next({ stones, inspections, memberId })[0]?.stone.id;
    const firsts = new Set(Array.from({ length: 12 }, (_, n) => first(`member-${n}`)));
    expect(firsts.size).toBeGreaterThan(6);
    expect(first("member-3")).toBe(next({ stones: [...stones].reverse(), inspections, memberId: "member-3" })[0]?.stone.id);
  });
});

describe("mine and theirs, side by side", () => {
  it("names only what differs, one level into maps, and times by their moment", () => {
    const mine = { notes: "a", face: "front", started_at: "2026-03-01T10:00:00Z", grades: { hardness: 3, ease: 2 }, thickness_mm: 5 };
    const theirs = {
      notes: "b", face: "front", started_at: "2026-03-01T11:00:00+01:00", grades: { hardness: 3.5, fineness: 4 }, thickness_mm: 5,
      version: 4, updated_by: "x",
    };
    expect(differences(mine, theirs)).toEqual([
      { field: "notes", mine: "a", theirs: "b" },
      { field: "grades.hardness", mine: 3, theirs: 3.5 },
      { field: "grades.fineness", mine: undefined, theirs: 4 },
      { field: "grades.ease", mine: 2, theirs: undefined },
    ]);
  });

  it("does not take codes that could be read as dates for equal", () => {
    expect(differences({ notes: "5" }, { notes: "05" }).length).toBe(1);
  });

  it("says fields and values in words", () => {
    expect([fieldWords("grades.hardness"), fieldWords("water_uptake_s"), fieldWords("wet_mass_g")]).toEqual(["hardness", "water uptake", "wet mass"]);
    expect([null, "", true, 3.5, [], [1, 2], { low: 3000, high: 6000 }].map((value) => valueWords(value, "nothing"))).toEqual([
      "nothing", "nothing", "yes", "3.5", "nothing", "2", "3000 – 6000",
    ]);
  });
});
