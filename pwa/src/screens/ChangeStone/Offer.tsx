import { useId } from "preact/hooks";
import type { Begun, Changed, OfferState } from "../../domain/intake/change";
import type { Checked, RowField } from "../../domain/intake/rows";
import { changeStone as say } from "../../words/change-stone";
import { CardField, type WrongWith } from "../Intake/Card";
import styles from "../Intake/style.module.css";
import type { Values } from "../useDraftForm";

/** As the service takes them (its description, OfferWrite). */
const longestNotes = 1000;
const states: readonly OfferState[] = ["for_sale", "reserved", "sold", "kept_back"];

/** A stone is kept back for a reason, and the reason stands in the notes. */
export function offerNotesWrong({ offer_state, offer_notes }: Changed): string | null {
  const notes = offer_notes.trim();
  if (offer_state === "kept_back" && notes === "") return say.needsWhy;
  return notes.length > longestNotes ? say.tooLong(notes.length) : null;
}

/** What is asked for the stone. */
export function OfferFields(props: {
  begun: Begun;
  changed: Changed;
  checked: Checked;
  fields: readonly RowField[];
  wrongWith: WrongWith;
  onValue: (field: RowField, text: string) => void;
  onSet: (changes: Values) => void;
}) {
  const id = useId();
  const { changed, checked } = props;
  const wrong = offerNotesWrong(changed);
  return (
    <section class="sheet" aria-label={say.offer}>
      <h2>{say.offer}</h2>
      <p class="note">{say.offerLead}</p>
      <div class={styles.fields}>
        <div class={`field ${styles.whole}`}>
          <label for={`${id}-state`}>{say.state}</label>
          <select id={`${id}-state`} value={changed.offer_state} onChange={(event) => props.onSet({ offer_state: event.currentTarget.value })}>
            {/* An offer that was made is never taken away, only kept back. */}
            {props.begun.offer === null && <option value="">{say.none}</option>}
            {states.map((state) => <option key={state} value={state}>{say.states[state]}</option>)}
          </select>
        </div>
        {props.fields.map((field) => (
          <CardField key={field} field={field} row={changed.row} checked={checked} wrongWith={props.wrongWith} onValue={(text) => props.onValue(field, text)} />
        ))}
        <div class={`field ${styles.whole}`}>
          <label for={`${id}-notes`}>{say.offerNotes}</label>
          <textarea
            id={`${id}-notes`}
            rows={2}
            value={changed.offer_notes}
            aria-invalid={wrong !== null}
            aria-describedby={wrong === null ? undefined : `${id}-wrong`}
            onInput={(event) => props.onSet({ offer_notes: event.currentTarget.value })}
          />
          {wrong !== null && <p class="wrong" id={`${id}-wrong`}>{wrong}</p>}
        </div>
      </div>
    </section>
  );
}
