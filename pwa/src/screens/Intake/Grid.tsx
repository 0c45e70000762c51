import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { gridFields } from "../../domain/intake/columns";
import type { Checked, IntakeRow, RowField } from "../../domain/intake/rows";
import { fieldNames, intake as say, troubleWords } from "../../words/intake";
import { asTyped, isFigure, optionsOf, optionsWith, unitOf } from "./options";
import styles from "./grid.module.css";
import { useWindow } from "./useWindow";

export interface Place {
  readonly row: number;
  readonly field: RowField;
}

const rowRem = 2.75;

/**
 * The rows as a sheet: every cell is a field, the arrows and Enter go from row to row, and cells from a spreadsheet are
 * pasted where the cursor stands. Only the rows in sight exist, so that 500 are as quick as five.
 */
export function Grid(props: {
  rows: readonly IntakeRow[];
  checked: readonly Checked[];
  /** The row whose particulars are shown below. */
  active: number;
  /** Where the cursor is wanted; a new object moves it there. */
  wanted: Place | null;
  onActive: (row: number) => void;
  onValue: (row: number, field: RowField, text: string) => void;
  /** Down from the last row. */
  onNew: () => void;
  onPaste: (at: Place, text: string) => void;
  onLeave: () => void;
}) {
  const { rows, wanted } = props;
  const seen = useWindow(rows.length, rowRem, 1);
  const goal = useRef<Place | null>(null);

  const { reveal } = seen;
  useEffect(() => {
    if (wanted === null) return;
    goal.current = wanted;
    reveal(wanted.row);
  }, [wanted, reveal]);

  // The cell may only now have been drawn.
  useLayoutEffect(() => {
    const place = goal.current;
    const id = place === null ? undefined : rows[place.row]?.id;
    const cell = place === null || id === undefined ? null : seen.box.current?.querySelector<HTMLElement>(`[data-cell="${id} ${place.field}"]`);
    if (cell == null) return;
    goal.current = null;
    cell.focus();
    if (cell instanceof HTMLInputElement) cell.select();
  });

  const go = (place: Place): void => {
    goal.current = place;
    reveal(place.row);
    props.onActive(place.row);
  };

  const placeOf = (target: EventTarget | null): Place | null => {
    const [id, field] = (target instanceof HTMLElement ? target.dataset["cell"] : undefined)?.split(" ") ?? [];
    const row = rows.findIndex((one) => one.id === id);
    return row < 0 || field === undefined ? null : { row, field: field as RowField };
  };

  const onKeyDown = (event: KeyboardEvent): void => {
    const at = placeOf(event.target);
    if (at === null || event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
    const chooses = event.target instanceof HTMLSelectElement;
    const last = at.row === rows.length - 1;
    const down = event.key === "Enter" ? !event.shiftKey : event.key === "ArrowDown" && !chooses;
    const up = event.key === "Enter" ? event.shiftKey : event.key === "ArrowUp" && !chooses;
    if (event.key === "Escape") props.onLeave();
    else if (down || (event.key === "Tab" && !event.shiftKey && last && at.field === gridFields.at(-1))) {
      if (last) props.onNew();
      else go({ row: at.row + 1, field: at.field });
    } else if (up && at.row > 0) go({ row: at.row - 1, field: at.field });
    else return;
    event.preventDefault();
  };

  const onPaste = (event: ClipboardEvent): void => {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    const at = placeOf(event.target);
    // One value goes into its cell as everywhere; only cells of a sheet are ours to lay out.
    if (at === null || !/[\t\n\r]/.test(text.replace(/[\r\n]+$/, ""))) return;
    event.preventDefault();
    props.onPaste(at, text);
  };

  return (
    <div ref={seen.box} class={styles.box} onScroll={seen.look} onKeyDown={onKeyDown} onPaste={onPaste}>
      <table class={styles.grid} aria-rowcount={rows.length + 1}>
        <caption class="visually-hidden">{say.grid}</caption>
        <thead>
          <tr aria-rowindex={1}>
            <th scope="col" class={styles.number}>{say.row}</th>
            {gridFields.flatMap((field) => [
              <th key={field} scope="col" class={styles[field]}>{fieldNames[field]}{unitOf(field) === "" ? "" : `, ${unitOf(field)}`}</th>,
              field === "mass_g" && <th key="density" scope="col" class={styles.density}>{say.density}, g/cm³</th>,
            ])}
            <th scope="col" class={styles.photos}>{say.photos}</th>
          </tr>
        </thead>
        <tbody>
          {seen.from > 0 && <tr style={{ blockSize: `${seen.from * rowRem}rem` }} aria-hidden="true" />}
          {rows.slice(seen.from, seen.to).map((row, i) => (
            <Row
              key={row.id}
              row={row}
              number={seen.from + i}
              checked={props.checked[seen.from + i]}
              active={seen.from + i === props.active}
              onActive={props.onActive}
              onValue={props.onValue}
            />
          ))}
          {seen.to < rows.length && <tr style={{ blockSize: `${(rows.length - seen.to) * rowRem}rem` }} aria-hidden="true" />}
        </tbody>
      </table>
    </div>
  );
}

function Row(props: {
  row: IntakeRow;
  number: number;
  checked: Checked | undefined;
  active: boolean;
  onActive: (row: number) => void;
  onValue: (row: number, field: RowField, text: string) => void;
}) {
  const { row, number, checked } = props;
  const troubles = checked?.troubles ?? [];
  const state = row.left_out ? "out" : troubles.length > 0 ? "bad" : (checked?.remarks.length ?? 0) > 0 ? "doubt" : null;
  return (
    <tr
      class={`${props.active ? styles.active : ""} ${row.left_out ? styles.out : ""} ${row.untouched ? styles.untouched : ""}`}
      aria-rowindex={number + 2}
      onFocusIn={() => props.onActive(number)}
    >
      <th scope="row" class={styles.number}>
        {number + 1}
        {state !== null && <StateSign state={state} />}
      </th>
      {gridFields.flatMap((field) => {
        const wrong = troubles.find((one) => one.field === field);
        const value = row.values[field];
        const common = {
          "data-cell": `${row.id} ${field}`,
          "aria-label": say.cell(fieldNames[field], number + 1),
          "aria-invalid": wrong !== undefined,
          title: wrong === undefined ? undefined : troubleWords(wrong, value),
        };
        return [
          <td key={field} class={styles[field]}>
            {optionsOf[field] === undefined ? (
              <input
                {...common}
                type="text"
                inputMode={isFigure(field) ? "decimal" : "text"}
                autocomplete="off"
                spellcheck={false}
                value={value}
                onInput={(event) => props.onValue(number, field, asTyped(field, event.currentTarget.value))}
              />
            ) : (
              <select {...common} value={value} onChange={(event) => props.onValue(number, field, event.currentTarget.value)}>
                {optionsWith(field, value).map((option) => <option key={option.value} value={option.value}>{option.words}</option>)}
              </select>
            )}
          </td>,
          field === "mass_g" && <td key="density" class={styles.density}>{checked?.density == null ? "" : checked.density.toFixed(2)}</td>,
        ];
      })}
      <td class={styles.photos}>{row.photos.length === 0 ? "" : row.photos.length}</td>
    </tr>
  );
}

/** A notch, a broken edge, an open lens: told apart by shape, and said to whoever hears the sheet. */
export function StateSign({ state }: { state: "bad" | "out" | "doubt" }) {
  return (
    <>
      <svg class={`${styles.sign} ${state === "bad" ? styles.bad : ""}`} viewBox="0 0 16 16" aria-hidden="true">
        {state === "bad" && <path fill="currentColor" d="M1 2h14L8 14.5Z" />}
        {state === "out" && <path d="M2 8h12" stroke="currentColor" stroke-width="2" stroke-dasharray="3 2" />}
        {state === "doubt" && (
          <g fill="none" stroke="currentColor" stroke-width="1.75">
            <circle cx="7" cy="7" r="5" />
            <path d="m10.8 10.8 4 4" />
          </g>
        )}
      </svg>
      <span class="visually-hidden">{say.rowState[state]}</span>
    </>
  );
}
