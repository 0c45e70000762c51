import { stateOf, type MovedSlip } from "../../domain/publishing";
import type { Protocol } from "../../domain/records";
import { gradeText } from "../../parts/GradeRuler/geometry";
import type { Seen } from "../../store/catalogue";
import { publish as say } from "../../words/publish";
import { day } from "../../words/trade";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { pageOf, Withdraw } from "./Issued";
import styles from "./style.module.css";

/** Issued slips of this stone and purpose that no longer stand, or not alone. */
export function Earlier(props: { readonly slips: readonly Seen<"slip">[]; readonly all: readonly Seen<"slip">[]; readonly moved: readonly MovedSlip[]; readonly protocols: readonly Protocol[] }) {
  if (props.slips.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.earlier}</h2>
      <ul class={styles.earlier}>
        {props.slips.map((slip) => {
          const { record } = slip;
          return (
            <li key={record.id} class={styles.one}>
              <div class="spread">
                <strong class={styles.oneCode}>{record.code}</strong>
                <span class="soft">{say.states[stateOf(slip, props.all, props.moved)]}</span>
              </div>
              <p class="figures">{say.issued(day(record.issued_on))}: {inProtocolOrder(record.grades, props.protocols).map((grade) => `${grade.name} ${gradeText(grade.grade, 0.1)}`).join(", ")}.</p>
              {record.notes !== "" && <p class="soft">{say.ownNotes(record.notes)}</p>}
              {record.override_reason !== null && <p class="soft">{say.overridden(record.override_reason)}</p>}
              {record.withdrawn && <p>{say.withdrawn(day(record.withdrawn.at), record.withdrawn.reason)}</p>}
              {record.withdrawn && slip.state === "waiting" && <p class="note">{say.withdrawnWaits}</p>}
              {record.withdrawn && slip.state === "needs_you" && (
                <p>{say.withdrawalRefused} {slip.problem?.detail} <a href="/">{say.again}</a></p>
              )}
              <div class="row">
                <a class={styles.plainLink} href={pageOf(record)} target="_blank" rel="noopener">{say.seePage}</a>
                <Withdraw slip={slip} />
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
