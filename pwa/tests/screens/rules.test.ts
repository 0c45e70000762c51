import { describe, expect, it } from "vitest";
import type { Rule } from "../../src/domain/records";
import defaults from "../../src/domain/soundness/default_rules.json";
import { clauses, sentence } from "../../src/screens/Rules/say";
import { changedRules, differences, thresholdKey, valueOf } from "../../src/screens/Rules/thresholds";

const rules = defaults as unknown as Rule[];
const rule = (id: string): Rule => rules.find((one) => one.id === id)!;

describe("a rule in words", () => {
  it("says each condition of a corner fissure, what was not seen as its other side", () => {
    expect(clauses(rule("fissure_corner_closed"))).toEqual([
      "the finding is a fissure", "it cuts off a corner", "it does not move when pressed and no fingernail catches",
    ]);
  });

  it("joins alternatives", () => {
    expect(clauses(rule("inclusion_acts"))).toEqual([
      "the finding is an inclusion or a line", "it was not relieved", "a soft edge catches or it scratches the finish",
    ]);
  });

  it("says what nobody has looked at", () => {
    expect(clauses(rule("fissure_not_probed"))[1]).toBe(
      "nobody has looked whether a fingernail catches or nobody has looked whether it moves when pressed",
    );
  });

  it("names thresholds by their number and facts by their name", () => {
    expect(sentence(rule("out_of_flat"))).toBe("The face is ‹the flatness› µm out of flat (‹its shape›); the club's limit is 150 µm.");
  });

  it("of the whole default set never shows code, and leaves no rule without a word", () => {
    for (const one of rules) {
      const words = [...clauses(one), sentence(one)].join(" ");
      expect(words, one.id).not.toMatch(/[{}[\]$_]|undefined|object|further condition/);
      expect(clauses(one).length + one.parameters.length, one.id).toBeGreaterThan(0);
    }
  });

  it("that a club wrote itself is not left out where it has no words", () => {
    expect(clauses({ ...rule("stain"), when: { properties: { luck: { multipleOf: 3 } }, if: {} } })).toContain("a further condition of your club's own holds");
  });
});

describe("thresholds being changed", () => {
  const flat = rule("out_of_flat");
  const [limit] = flat.parameters;
  const key = thresholdKey(flat, limit!);

  it("lie over whatever version is current", () => {
    const others = rules.map((one) => (one.id === "fissure_long" ? { ...one, parameters: one.parameters.map((p) => ({ ...p, value: 77 })) } : one));

    const { rules: changed, nChanged } = changedRules(others, { [key]: 80 });

    expect(nChanged).toBe(1);
    expect(changed.find((one) => one.id === "fissure_long")?.parameters[0]?.value).toBe(77);
    expect(changed.find((one) => one.id === "out_of_flat")?.parameters[0]?.value).toBe(80);
  });

  it("that are empty or out of range hold the save up, and never become another number", () => {
    expect(changedRules(rules, { [key]: null })).toMatchObject({ missing: true, nChanged: 0 });
    expect(valueOf({ [key]: null }, flat, limit!)).toBeNull();
  });

  it("are told against the version before, and so are rules that came or went", () => {
    const after = changedRules(rules, { [key]: 80 }).rules;

    expect(differences(rules, after)).toEqual(["Lap. Out of flat from: 150 → 80 µm"]);
    expect(differences(rules, rules)).toEqual([]);
    expect(differences([flat], [])).toEqual(["Rule taken out: Lap"]);
    expect(differences([], [flat])).toEqual(["New rule: Lap"]);
  });
});
