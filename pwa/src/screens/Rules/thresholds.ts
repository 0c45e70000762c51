/** Thresholds being changed: a draft holds only what differs, so it lies over whatever version is current. Pure. */

import type { Rule, RuleParameter } from "../../domain/records";
import { rules as say } from "../../words/rules";

type Values = Readonly<Record<string, unknown>>;

export const thresholdKey = (rule: Pick<Rule, "id">, parameter: Pick<RuleParameter, "name">): string => `threshold.${rule.id}.${parameter.name}`;

/** The value in the form: a number, or null where the box is empty or out of range. */
export function valueOf(values: Values, rule: Rule, parameter: RuleParameter): number | null {
  const value = values[thresholdKey(rule, parameter)];
  return value === undefined ? parameter.value : typeof value === "number" ? value : null;
}

/** The rules with the form's thresholds, how many differ, and whether one is missing. */
export function changedRules(rules: readonly Rule[], values: Values): { rules: Rule[]; nChanged: number; missing: boolean } {
  let [nChanged, missing] = [0, false];
  const changed = rules.map((rule) => ({
    ...rule,
    parameters: rule.parameters.map((parameter) => {
      const value = valueOf(values, rule, parameter);
      if (value === null) missing = true;
      else if (value !== parameter.value) nChanged += 1;
      return { ...parameter, value: value ?? parameter.value };
    }),
  }));
  return { rules: changed, nChanged, missing };
}

const sentenceCase = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What one version changed against the one before, in words. */
export function differences(before: readonly Rule[], after: readonly Rule[]): string[] {
  const old = new Map(before.map((rule) => [rule.id, rule]));
  const now = new Set(after.map((rule) => rule.id));
  const told = after.flatMap((rule) => {
    const was = old.get(rule.id);
    if (was === undefined) return [say.came(sentenceCase(rule.verdict))];
    return rule.parameters.flatMap((parameter) => {
      const earlier = was.parameters.find((p) => p.name === parameter.name);
      if (earlier === undefined || earlier.value === parameter.value) return [];
      return [`${sentenceCase(rule.verdict)}. ${say.moved(parameter.label, earlier.value, parameter.value, parameter.unit)}`];
    });
  });
  return [...told, ...before.filter((rule) => !now.has(rule.id)).map((rule) => say.went(sentenceCase(rule.verdict)))];
}
