import { useState } from "preact/hooks";
import type { Checked, IntakeRow } from "../../domain/intake/rows";
import { intake as say } from "../../words/intake";
import { TroubleList } from "./Particulars";
import styles from "./style.module.css";

const shownAtFirst = 25;

export interface Numbered {
  readonly row: IntakeRow;
  readonly number: number;
  readonly checked: Checked;
}

/** Rows by name with what is wrong with each; the rest of a long list on request, so that every one can be read. */
export function Named(props: { items: readonly Numbered[]; actions?: (item: Numbered) => preact.ComponentChildren; troubles?: boolean }) {
  const [all, setAll] = useState(false);
  const shown = all ? props.items : props.items.slice(0, shownAtFirst);
  return (
    <div class="stack">
      <ul class={styles.named}>
        {shown.map((item) => (
          <li key={item.row.id} class="stack">
            <strong>{say.nameOf(item.number + 1, item.row.values.code, item.row.from)}</strong>
            {props.troubles !== false && <TroubleList row={item.row} checked={item.checked} />}
            {props.actions && <div class="row">{props.actions(item)}</div>}
          </li>
        ))}
      </ul>
      {shown.length < props.items.length && (
        <button type="button" class="button" onClick={() => setAll(true)}>{say.showMore(props.items.length - shown.length)}</button>
      )}
    </div>
  );
}

/** What keeps the others back: each row to mend or to leave out. */
export function Bad(props: {
  bad: readonly Numbered[];
  out: readonly Numbered[];
  onMend: (item: Numbered) => void;
  onLeaveOut: (items: readonly Numbered[]) => void;
  onPutBack: (item: Numbered) => void;
  onRemove: (item: Numbered) => void;
  onAsItIs: (item: Numbered) => void;
  /** A free code for a row whose own is taken; null if none can be found. */
  freeCode: (item: Numbered) => string | null;
  onCode: (item: Numbered, code: string) => void;
}) {
  const { bad, out } = props;
  return (
    <>
      {bad.length > 0 && (
        <section class="sheet needs-you" aria-label={say.badTitle(bad.length)}>
          <h2>{say.badTitle(bad.length)}</h2>
          <p>{say.badLead}</p>
          <Named
            items={bad}
            actions={(item) => (
              <>
                <button type="button" class="button" onClick={() => props.onMend(item)}>
                  {say.mend}<span class="visually-hidden"> {say.nameOf(item.number + 1, item.row.values.code, item.row.from)}</span>
                </button>
                <FreeCode item={item} freeCode={props.freeCode} onCode={props.onCode} />
                {item.checked.troubles.some(({ kind }) => kind === "extra_cells") && (
                  <button type="button" class="button" onClick={() => props.onAsItIs(item)}>{say.asItIs}</button>
                )}
                <button type="button" class="button" onClick={() => props.onLeaveOut([item])}>
                  {say.leaveOut}<span class="visually-hidden"> {say.nameOf(item.number + 1, item.row.values.code, item.row.from)}</span>
                </button>
              </>
            )}
          />
          {bad.length > 1 && <p><button type="button" class="button" onClick={() => props.onLeaveOut(bad)}>{say.leaveAllOut(bad.length)}</button></p>}
        </section>
      )}
      {out.length > 0 && (
        <section class="sheet" aria-label={say.outTitle(out.length)}>
          <h2>{say.outTitle(out.length)}</h2>
          <p>{say.outLead}</p>
          <Named
            items={out}
            actions={(item) => (
              <>
                <button type="button" class="button" onClick={() => props.onPutBack(item)}>
                  {say.putBack}<span class="visually-hidden"> {say.nameOf(item.number + 1, item.row.values.code, item.row.from)}</span>
                </button>
                <button type="button" class="button button-plain" onClick={() => props.onRemove(item)}>
                  {say.remove}<span class="visually-hidden"> {say.nameOf(item.number + 1, item.row.values.code, item.row.from)}</span>
                </button>
              </>
            )}
          />
        </section>
      )}
    </>
  );
}

function FreeCode({ item, freeCode, onCode }: { item: Numbered; freeCode: (item: Numbered) => string | null; onCode: (item: Numbered, code: string) => void }) {
  if (!item.checked.troubles.some(({ kind }) => kind === "twice" || kind === "taken")) return null;
  const code = freeCode(item);
  return code === null ? null : <button type="button" class="button" onClick={() => onCode(item, code)}>{say.giveCode(code)}</button>;
}
