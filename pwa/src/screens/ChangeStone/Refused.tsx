import type { Problem } from "../../store/db";
import { changeStone as say } from "../../words/change-stone";

/** What the service said when it refused the record. */
export function Refused({ title, problem }: { readonly title: string; readonly problem: Problem | null }) {
  return (
    <section class="sheet needs-you" aria-label={title}>
      <h2>{title}</h2>
      {problem !== null && problem.detail !== "" && <p>{problem.detail}</p>}
      <p>{say.refusedLead}</p>
    </section>
  );
}
