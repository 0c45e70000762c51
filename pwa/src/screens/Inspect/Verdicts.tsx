import { VerdictCards } from "../../parts/VerdictCard";
import { inspect as say } from "../../words/inspect";
import { mm } from "../../words/trade";
import type { Answer } from "./useVerdicts";

/** What the rules make of the inspection so far, most urgent first. */
export function Verdicts({ answer, number, begun }: { answer: Answer; number: (findingId: string) => number; begun: boolean }) {
  if (answer.kind === "no_rules") return <p>{say.noRules}</p>;
  if (answer.kind === "refused") return <p class="sheet needs-you">{say.refused(answer.why)}</p>;
  const { verdicts, flatness, usable_face: usable } = answer.assessment;
  return (
    <>
      {verdicts.length === 0 && <p class="soft">{begun ? say.none : say.early}</p>}
      <VerdictCards verdicts={verdicts} findingNumber={number} wide />
      {flatness && <p class="figures">{say.flatness(flatness.flatness_um.toFixed(0), flatness.shape)}</p>}
      {usable && verdicts.some((v) => v.finding_id !== null) && (
        <p class="figures">{say.usable(mm(usable.length_mm), mm(usable.width_mm))}</p>
      )}
    </>
  );
}
