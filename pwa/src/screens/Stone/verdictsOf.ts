import type { Inspection, Rule, Stone, Verdict } from "../../domain/records";
import { assess, Refused } from "../../domain/soundness";

/**
 * An inspection's verdicts: the service's where it has given them, else the phone's own by the same
 * rules. `local` says which, since only the service's are the club's.
 */
export function verdictsOf(stone: Stone, inspection: Inspection, rules: readonly Rule[] | null): { verdicts: readonly Verdict[]; local: boolean } {
  if (inspection.rule_set_version !== null || rules === null) return { verdicts: inspection.verdicts, local: false };
  try {
    return { verdicts: assess(stone, inspection, rules).verdicts, local: true };
  } catch (error) {
    if (error instanceof Refused) return { verdicts: [], local: true };
    throw error;
  }
}
