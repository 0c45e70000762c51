import { useMemo } from "preact/hooks";
import type { Rule, Stone } from "../../domain/records";
import { assess, Refused, type Assessment } from "../../domain/soundness";
import { flatnessOf, type InspectionDraft } from "./draft";

export type Answer =
  | { readonly kind: "assessed"; readonly assessment: Assessment }
  | { readonly kind: "refused"; readonly why: string }
  | { readonly kind: "no_rules" };

/** The rules' answer to the draft as it stands; a finding that is not on the face yet is left out. */
export function useVerdicts(stone: Stone, draft: InspectionDraft, rules: readonly Rule[] | null): Answer {
  const inspection = useMemo(
    () => ({ ...draft, flatness: flatnessOf(draft, stone), findings: draft.findings.filter((f) => f.points.length > 0) }),
    [draft, stone],
  );
  return useMemo(() => {
    if (rules === null) return { kind: "no_rules" };
    try {
      return { kind: "assessed", assessment: assess(stone, inspection, rules) };
    } catch (error) {
      if (error instanceof Refused) return { kind: "refused", why: error.errors.map((e) => e.message).join(" ") };
      throw error;
    }
  }, [stone, inspection, rules]);
}
