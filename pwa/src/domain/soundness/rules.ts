/**
 * Rules as data: a condition over facts (JSON Schema), a verdict in plain words, and why. The rules come with the
 * club's rule set and were checked by the service when they were written; here they are only applied. A keyword on
 * which phone and service might differ is refused all the same, so that the phone never answers differently.
 */

import { Validator } from "@cfworker/json-schema";
import type { Schema } from "@cfworker/json-schema";

import type { Rule, Urgency } from "../records";
import type { Facts } from "./facts";
import { refuse } from "./refusal";
import { say } from "./words";

/** From "nothing to do" to "not to be sold or used". */
export const URGENCIES: readonly Urgency[] = ["none", "watch", "soon", "before_use", "reject"];

export const urgencyRank = (urgency: Urgency): number => URGENCIES.indexOf(urgency);

/** The most urgent word of a list; none if it is empty. */
export const strictest = (urgencies: readonly Urgency[]): Urgency =>
  urgencies.reduce<Urgency>((worst, u) => (urgencyRank(u) > urgencyRank(worst) ? u : worst), "none");

const SCHEMAS: readonly string[] = ["not", "if", "then", "else"];
const SCHEMA_LISTS: readonly string[] = ["allOf", "anyOf", "oneOf"];
const PLAIN: readonly string[] = [
  "type", "const", "enum", "required", "title", "description", "$comment",
  "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum",
];

type Part = Readonly<Record<string, unknown>>;

const isPart = (value: unknown): value is Part => typeof value === "object" && value !== null && !Array.isArray(value);

/** The rule's condition with its thresholds put in. */
export function withParameters(rule: Rule): unknown {
  const values = new Map(rule.parameters.map((p) => [p.name, p.value]));
  const fill = (part: unknown): unknown => {
    if (Array.isArray(part)) return part.map(fill);
    if (!isPart(part)) return part;
    const name = part["$param"];
    if (typeof name === "string") {
      const value = values.get(name);
      if (value === undefined) throw refuse(`rules.${rule.id}.when`, `This rule has no parameter '${name}'.`);
      return value;
    }
    return Object.fromEntries(Object.entries(part).map(([key, value]) => [key, fill(value)]));
  };
  return fill(rule.when);
}

const conditions = new WeakMap<Rule, Validator>();

/** Whether the rule's condition holds for these facts. */
export function matches(rule: Rule, facts: Facts): boolean {
  let condition = conditions.get(rule);
  if (!condition) {
    const when = withParameters(rule);
    refuseUnsafe(when, `rules.${rule.id}.when`);
    condition = new Validator(when as Schema, "2020-12");
    conditions.set(rule, condition);
  }
  return condition.validate(facts).valid;
}

/** Refuse a condition that uses a keyword on which phone and service might differ. */
function refuseUnsafe(when: unknown, field: string): void {
  if (typeof when === "boolean") return;
  if (!isPart(when)) throw refuse(field, "A condition must be a JSON Schema object, true or false.");
  for (const [key, value] of Object.entries(when)) {
    const here = `${field}.${key}`;
    if (key === "pattern" || key === "patternProperties") {
      throw refuse(here, `'${key}' is not allowed: server and phone read regular expressions differently.`);
    }
    if (SCHEMAS.includes(key)) refuseUnsafe(value, here);
    else if (SCHEMA_LISTS.includes(key) && Array.isArray(value)) {
      value.forEach((item, i) => refuseUnsafe(item, `${here}.${i}`));
    } else if (key === "properties" && isPart(value)) {
      for (const [name, part] of Object.entries(value)) refuseUnsafe(part, `${here}.${name}`);
    } else if (!PLAIN.includes(key)) {
      throw refuse(here, `'${key}' is not among the keywords a rule may use.`);
    }
  }
}

const PLACEHOLDER = /\{([^{}]*)\}/g;
const OPTIONAL = /\[([^[\]]*)\]/g;

/** The rule's sentence with facts and thresholds filled in; [parts in brackets] go where a fact is not known. */
export function reason(rule: Rule, facts: Facts): string {
  const values: Facts = { ...facts, ...thresholds(rule) };
  const isKnown = (part: string): boolean =>
    [...part.matchAll(PLACEHOLDER)].every((match) => values[match[1] ?? ""] !== undefined);
  return rule.because
    .replace(OPTIONAL, (_, part: string) => (isKnown(part) ? part : ""))
    .replace(PLACEHOLDER, (_, name: string) => say(values[name]));
}

/** The facts and thresholds that the verdict rests on: those its condition looks at or its sentence tells. */
export function factsUsed(rule: Rule, facts: Facts): Facts {
  const told = [...rule.because.matchAll(PLACEHOLDER)].map((match) => match[1] ?? "");
  const names = new Set([...namedFacts(rule.when), ...told]);
  const used: Facts = {};
  for (const name of [...names].sort()) {
    const value = facts[name];
    if (value !== undefined) used[name] = value;
  }
  return { ...used, ...thresholds(rule) };
}

const thresholds = (rule: Rule): Facts => Object.fromEntries(rule.parameters.map((p) => [p.name, p.value]));

/** The names of all facts that a condition looks at. */
function namedFacts(when: unknown): string[] {
  if (!isPart(when)) return [];
  return Object.entries(when).flatMap(([key, value]) => {
    if (key === "properties" && isPart(value)) return Object.keys(value);
    if (key === "required" && Array.isArray(value)) return value.filter((name) => typeof name === "string");
    if (SCHEMAS.includes(key)) return namedFacts(value);
    if (SCHEMA_LISTS.includes(key) && Array.isArray(value)) return value.flatMap(namedFacts);
    return [];
  });
}
