import { expect, it } from "vitest";
import type { Plan, PlannedTrial } from "../../src/domain/plan";
import type { Blade, HandOver, Stone } from "../../src/domain/records";
import { bladesOf } from "../../src/screens/blades";
import { heldRows, type HeldRow } from "../../src/screens/Plan/holding";
import { planText, whyWords } from "../../src/screens/Plan/text";

const trial = (change: Partial<PlannedTrial> = {}): PlannedTrial => ({
  tester_id: "a", stone_id: "s1", steel: "white", scale: "hardness", expected_gain: 0.1, half_width_before: 0.93, half_width_after: 0.58,
  links: false, settled: false, in_hands: false, why: ["Narrows hardness from ±0.9 to ±0.6.", "Second tester of the 2 that the club asks for."], ...change,
});

it("says what a trial brings in the service's words, and of one that was not weighed that nobody knows", () => {
  expect(whyWords(trial())).toBe("Narrows hardness from ±0.9 to ±0.6. Second tester of the 2 that the club asks for.");
  expect(whyWords(trial({ why: [] }))).toContain("not weighed");
});

it("a plan as text names each tester once, with place, stone, steel, blades and gain", () => {
  const plan: Plan = {
    purpose: "razor", scale: "hardness", target_half_width: 0.5, groups: 1, underway: 0, left_out: [],
    trials: [trial(), trial({ tester_id: "b", stone_id: "s2", steel: "powder", why: ["Narrows hardness from ±0.8 to ±0.6."] }), trial({ stone_id: "s2" })],
  };
  const text = planText(plan, "2026-03-06T12:00:00Z", {
    tester: (id) => ({ a: "Ansa", b: "Birk" })[id] ?? "?",
    stone: (id) => ({ s1: "TAR-01", s2: "TAR-02" })[id] ?? "?",
    steel: (steel) => `${steel} steel`,
    blades: (steel) => (steel === "white" ? ["Heron", "Tern"] : []),
  });
  expect(text).toBe([
    "Trials to do, razor, planned on 6 Mar 2026", "",
    "Ansa", "  1. TAR-01, white steel (Heron or Tern): Narrows hardness from ±0.9 to ±0.6. Second tester of the 2 that the club asks for.",
    "  3. TAR-02, white steel (Heron or Tern): Narrows hardness from ±0.9 to ±0.6. Second tester of the 2 that the club asks for.", "",
    "Birk", "  2. TAR-02, powder steel: Narrows hardness from ±0.8 to ±0.6.",
  ].join("\n"));
});

it("names the blades made for the purpose, and any of the steel where there are none", () => {
  const blade = (name: string, steel: string, form: Blade["form"]): Blade => ({ name, steel, form }) as Blade;
  const all = [blade("Heron", "white", "razor"), blade("Tern", "white", "knife"), blade("Wren", "powder", "knife")];
  expect(bladesOf(all, "white", "razor").map((b) => b.name)).toEqual(["Heron"]);
  expect(bladesOf(all, "powder", "razor").map((b) => b.name)).toEqual(["Wren"]);
});

it("shows stones that somebody has, the longest first, then the planned ones; a search finds any stone", () => {
  const row = (id: string, holder: string | null, handed_at?: string): HeldRow => ({
    stone: { id, code: id.toUpperCase() } as Stone, holder,
    log: handed_at === undefined ? [] : [{ id: `h-${id}`, stone_id: id, holder_id: holder, handed_at } as HandOver],
  });
  const rows = [row("a", "m1", "2026-03-05T00:00:00Z"), row("b", null), row("c", "m2", "2026-03-01T00:00:00Z"), row("d", null, "2026-03-02T00:00:00Z"), row("e10", null), row("e9", null)];
  const codes = (planned: string[], search = ""): string[] => heldRows({ rows }, planned, search).map(({ stone }) => stone.id);
  expect(codes(["d", "a", "b"])).toEqual(["c", "a", "d", "b"]);
  expect(codes([])).toEqual(["c", "a"]);
  expect(codes([], "E")).toEqual(["e9", "e10"]);
});
