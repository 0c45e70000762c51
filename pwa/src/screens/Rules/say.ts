/** A rule's condition and sentence in plain words, for whoever answers for them. Pure. */

import type { Rule } from "../../domain/records";
import { condition as say, factValues, numberFacts, wordFacts, yesNoFacts } from "../../words/rules";

type Part = Readonly<Record<string, unknown>>;
const isPart = (value: unknown): value is Part => typeof value === "object" && value !== null && !Array.isArray(value);
const listOf = (value: unknown): unknown[] => (Array.isArray(value) ? value : []);

const plain = (key: string): string => factValues[key] ?? key.replaceAll("_", " ");
const named = (fact: string): string => numberFacts[fact] ?? yesNoFacts[fact]?.[0] ?? fact.replaceAll("_", " ");

/**
 * What has to hold, clause by clause. A threshold that stands beside the rule as a number to set is left out: its own
 * label says it. What cannot be put in words is named as such, never left out.
 */
export function clauses(rule: Rule): string[] {
  const found = partClauses(rule.when);
  return found.length === 0 && rule.parameters.length === 0 ? [say.always] : [...new Set(found)];
}

function partClauses(when: unknown): string[] {
  if (when === true) return [];
  if (!isPart(when)) return [say.other];
  const properties = isPart(when["properties"]) ? when["properties"] : {};
  const facts = Object.entries(properties).flatMap(([fact, test]) => factClauses(fact, test));
  const all = listOf(when["allOf"]).flatMap(partClauses);
  const any = "anyOf" in when || "oneOf" in when ? [alternatives([...listOf(when["anyOf"]), ...listOf(when["oneOf"])])] : [];
  const not = "not" in when ? [notClause(when["not"])] : [];
  const strange = Object.keys(when).some((key) => !["properties", "required", "allOf", "anyOf", "oneOf", "not", "type", "title", "description", "$comment"].includes(key));
  return [...facts, ...all, ...any.filter((words) => words !== ""), ...not, ...(strange ? [say.other] : [])];
}

const alternatives = (parts: readonly unknown[]): string =>
  parts.map((part) => partClauses(part).join(say.and)).filter((words) => words !== "").join(say.or);

function notClause(part: unknown): string {
  if (isPart(part) && Object.keys(part).length === 1 && Array.isArray(part["required"])) {
    return part["required"].filter((fact) => typeof fact === "string")
      .map((fact) => (fact in yesNoFacts ? say.untried(yesNoFacts[fact]?.[0] ?? fact) : say.unknown(named(fact)))).join(say.and);
  }
  const parts: unknown[] = isPart(part) && Array.isArray(part["anyOf"]) ? listOf(part["anyOf"]) : [part];
  // "Not true" of one yes-or-no fact is better said as its other side; of several, one after another.
  const sides = parts.map(turned);
  return sides.every((side) => side !== null) ? sides.join(say.and) : say.none(alternatives(parts));
}

/** The other side of a part that only asks for one yes-or-no fact to be true. */
function turned(part: unknown): string | null {
  if (!isPart(part) || !isPart(part["properties"])) return null;
  const [entry, ...more] = Object.entries(part["properties"]);
  if (entry === undefined || more.length > 0) return null;
  const [fact, test] = entry;
  return isPart(test) && test["const"] === true ? (yesNoFacts[fact]?.[1] ?? null) : null;
}

function factClauses(fact: string, test: unknown): string[] {
  if (!isPart(test)) return [say.other];
  if (typeof test["const"] === "boolean") {
    const sides = yesNoFacts[fact];
    return [sides === undefined ? `${named(fact)}: ${test["const"] ? "yes" : "no"}` : test["const"] ? sides[0] : sides[1]];
  }
  const words = [...("const" in test ? [test["const"]] : []), ...listOf(test["enum"])].map((value) => plain(String(value))).join(say.or);
  if (words !== "") return [wordFacts[fact]?.(words) ?? `${named(fact)}: ${words}`];
  const limits = [["minimum", say.atLeast], ["maximum", say.atMost], ["exclusiveMinimum", say.above], ["exclusiveMaximum", say.below]] as const;
  return limits.flatMap(([key, sentence]) => {
    const limit = test[key];
    return typeof limit === "number" ? [sentence(named(fact), String(limit))] : [];
  });
}

/** The rule's sentence with thresholds as numbers and facts by name; parts that may fall away are kept. */
export function sentence(rule: Rule): string {
  const values = new Map(rule.parameters.map((p) => [p.name, String(p.value)]));
  return rule.because
    .replaceAll(/[[\]]/g, "")
    .replaceAll(/\{([^{}]*)\}/g, (_, name: string) => values.get(name) ?? `‹${named(name)}›`);
}
