import { expect, it } from "vitest";
import type { Plan, PlannedTrial } from "../../src/domain/plan";
import type { Blade } from "../../src/domain/records";
import { bladesOf } from "../../src/screens/blades";
import { gainWords, planText } from "../../src/screens/Plan/text";

const trial = (change: Partial<PlannedTrial> = {}): PlannedTrial => ({
  tester_id: "a", stone_id: "s1", steel: "white", expected_gain: 0.1, half_width_before: 0.93, half_width_after: 0.58, ...change,
});

it("says the gain with one place, and with two where one would show no gain", () => {
  expect(gainWords(trial())).toBe("from ±0.9 to ±0.6");
  expect(gainWords(trial({ half_width_before: 0.62, half_width_after: 0.57 }))).toBe("from ±0.62 to ±0.57");
});

it("a plan as text names each tester once, with place, stone, steel, blades and gain", () => {
  const plan: Plan = {
    purpose: "razor", scale: "hardness", target_half_width: 0.5,
    trials: [trial(), trial({ tester_id: "b", stone_id: "s2", steel: "powder" }), trial({ stone_id: "s2" })],
  };
  const text = planText(plan, "2026-03-06T12:00:00Z", {
    tester: (id) => ({ a: "Ansa", b: "Birk" })[id] ?? "?",
    stone: (id) => ({ s1: "TAR-01", s2: "TAR-02" })[id] ?? "?",
    steel: (steel) => `${steel} steel`,
    blades: (steel) => (steel === "white" ? ["Heron", "Tern"] : []),
  });
  expect(text).toBe([
    "Trials to do, razor, planned on 6 Mar 2026", "",
    "Ansa", "  1. TAR-01, white steel (Heron or Tern): from ±0.9 to ±0.6", "  3. TAR-02, white steel (Heron or Tern): from ±0.9 to ±0.6", "",
    "Birk", "  2. TAR-02, powder steel: from ±0.9 to ±0.6",
  ].join("\n"));
});

it("names the blades made for the purpose, and any of the steel where there are none", () => {
  const blade = (name: string, steel: string, form: Blade["form"]): Blade => ({ name, steel, form }) as Blade;
  const all = [blade("Heron", "white", "razor"), blade("Tern", "white", "knife"), blade("Wren", "powder", "knife")];
  expect(bladesOf(all, "white", "razor").map((b) => b.name)).toEqual(["Heron"]);
  expect(bladesOf(all, "powder", "razor").map((b) => b.name)).toEqual(["Wren"]);
});
