/** What a change of the rules does to the stones at hand, told before it is saved. */

import type { Rule, Urgency } from "../records";
import { assess } from "./assess";
import type { Assessment } from "./assess";
import type { History, InspectionValues, StoneShape } from "./facts";

/** One stone with the inspection that counts for it; `key` names the case to whoever asked. */
export interface InspectedStone {
  readonly key: string;
  readonly stone: StoneShape;
  readonly inspection: InspectionValues;
  readonly history?: History;
}

export interface Spoken {
  readonly rule_id: string;
  readonly finding_id: string | null;
}

/** How one stone fares under the new rules: verdicts it gains and loses. */
export interface RuleEffect {
  readonly key: string;
  readonly urgency_before: Urgency;
  readonly urgency_after: Urgency;
  readonly gained: readonly Spoken[];
  readonly lost: readonly Spoken[];
}

/**
 * The stones whose verdicts change, in the order given; a stone with the same verdicts is left out. Throws `Refused`
 * if an inspection cannot be measured, for instance after its stone's sizes were amended.
 */
export function effectOfRules(
  before: readonly Rule[],
  after: readonly Rule[],
  cases: readonly InspectedStone[],
): RuleEffect[] {
  return cases.flatMap(({ key, stone, inspection, history }) => {
    const old = assess(stone, inspection, before, history);
    const now = assess(stone, inspection, after, history);
    const gained = without(now, old);
    const lost = without(old, now);
    if (gained.length + lost.length === 0 && old.urgency === now.urgency) return [];
    return [{ key, urgency_before: old.urgency, urgency_after: now.urgency, gained, lost }];
  });
}

/** The verdicts of one answer that the other does not give. */
const without = (one: Assessment, other: Assessment): Spoken[] =>
  one.verdicts
    .filter((v) => !other.verdicts.some((w) => w.rule_id === v.rule_id && w.finding_id === v.finding_id))
    .map(({ rule_id, finding_id }) => ({ rule_id, finding_id }));
