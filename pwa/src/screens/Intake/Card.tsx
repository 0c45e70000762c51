import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Checked, IntakeRow, RowField, Trouble } from "../../domain/intake/rows";
import type { PhotoUse, PhotoView } from "../../domain/records";
import { fieldNames, intake as say, troubleWords } from "../../words/intake";
import { asTyped, isFigure, optionsOf, optionsWith, unitOf } from "./options";
import { Density, Photos } from "./Particulars";
import styles from "./style.module.css";

const first: readonly RowField[] = ["code", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g"];
const others: readonly RowField[] = ["colour", "sides_sealed", "mark_front", "mark_back", "cost", "price", "currency", "notes"];

/** What is said of a field that is wrong; null where nothing is. */
export type WrongWith = (field: RowField, trouble: Trouble | undefined, value: string) => string | null;

// What is simply not filled in yet is no mistake while the card is in hand.
const wrongWhileTyping: WrongWith = (_, trouble, value) =>
  trouble === undefined || trouble.kind === "missing" ? null : troubleWords(trouble, value);

/** One stone at a time, for a thumb. */
export function Card(props: {
  row: IntakeRow;
  number: number;
  all: number;
  checked: Checked;
  /** Whether the cursor goes to the length, the first thing that does not repeat. */
  begin: boolean;
  onValue: (field: RowField, text: string) => void;
  onPhoto: (view: PhotoView, photo: PhotoUse | null) => void;
  /** For a stone that is there already: what the card is called, what stands below its photos, and what is wrong. */
  change?: { readonly title: string; readonly more: readonly RowField[]; readonly wrongWith: WrongWith };
}) {
  const { row, checked, change } = props;
  const title = change?.title ?? say.stoneOf(props.number + 1, props.all);
  const card = useRef<HTMLElement>(null);
  const [open, setOpen] = useState(false);
  const hidden = checked.troubles.some(({ field }) => field !== null && others.includes(field));

  useEffect(() => {
    if (change === undefined) card.current?.scrollIntoView({ block: "nearest" });
    if (props.begin) card.current?.querySelector<HTMLElement>('[name="length_mm"]')?.focus({ preventScroll: true });
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the cursor moves when another stone comes, not while one is typed
  }, [row.id]);

  const field = (name: RowField) => (
    <CardField key={name} field={name} row={row} checked={checked} wrongWith={change?.wrongWith} onValue={(text) => props.onValue(name, text)} />
  );
  return (
    <section ref={card} class="sheet" aria-label={title}>
      <div class="spread">
        <h2>{title}</h2>
        {row.from !== null && <span class="note">{say.fromLine(row.from.file, row.from.line)}</span>}
      </div>
      <div class={styles.fields}>{first.map(field)}</div>
      <Density row={row} checked={checked} />
      <Photos key={row.id} row={row} onPhoto={props.onPhoto} />
      {change !== undefined ? <div class={styles.fields}>{change.more.map(field)}</div> : (
        <details open={open || hidden} onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary class={styles.summary}>{say.more}</summary>
          <div class={styles.fields}>{others.map(field)}</div>
        </details>
      )}
    </section>
  );
}

export function CardField(props: {
  field: RowField;
  row: IntakeRow;
  checked: Checked;
  wrongWith?: WrongWith | undefined;
  onValue: (text: string) => void;
}) {
  const { field, row, checked, onValue } = props;
  const id = useId();
  const value = row.values[field];
  const trouble = checked.troubles.find((one) => one.field === field);
  const wrong = (props.wrongWith ?? wrongWhileTyping)(field, trouble, value);
  const common = {
    id, name: field, "aria-invalid": wrong !== null, "aria-describedby": wrong === null ? undefined : `${id}-wrong`,
  };
  const unit = unitOf(field);
  return (
    <div class={`field ${field === "notes" || field === "code" ? styles.whole : ""}`}>
      <label for={id}>{fieldNames[field]}{unit === "" ? "" : `, ${unit}`}</label>
      {optionsOf[field] !== undefined ? (
        <select {...common} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
          {optionsWith(field, value).map((option) => <option key={option.value} value={option.value}>{option.words}</option>)}
        </select>
      ) : field === "notes" ? (
        <textarea {...common} rows={2} value={value} onInput={(event) => onValue(event.currentTarget.value)} />
      ) : (
        <input
          {...common}
          type="text"
          inputMode={isFigure(field) ? "decimal" : "text"}
          autocomplete="off"
          autocapitalize={field === "code" || field === "currency" ? "characters" : undefined}
          spellcheck={false}
          enterkeyhint="next"
          value={value}
          onInput={(event) => onValue(asTyped(field, event.currentTarget.value))}
        />
      )}
      {wrong !== null && <p class="wrong" id={`${id}-wrong`}>{wrong}</p>}
    </div>
  );
}
