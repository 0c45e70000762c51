import { useId, useState } from "preact/hooks";
import { continued, isCode, plainCode } from "../../domain/intake/codes";
import { SelectField } from "../../parts/Fields";
import { PrintLabels } from "../../parts/PrintLabels";
import { mostLabels } from "../../domain/label_sheets";
import { newId } from "../../sync/commands";
import { printLabels } from "../../sync/labels";
import { intake as say } from "../../words/intake";
import { calendarDay } from "../calendarDay";
import type { IntakeClub } from "./read";
import styles from "./style.module.css";
import type { LotChoice } from "./useIntake";

const fresh = "new";

/** What is wrong with the lot, or null. A lot that is here is right. */
export function lotTrouble(lot: LotChoice, club: IntakeClub): string | null {
  if (lot.kind === "here") return null;
  if (lot.kind === "none") return say.lotFirst;
  const code = lot.code.trim();
  if (code === "") return say.lotTrouble.code_missing;
  if (!isCode(code)) return say.lotTrouble.code_bad;
  if (club.lots.some((one) => plainCode(one.code) === plainCode(code))) return say.lotTrouble.code_taken;
  if (lot.name.trim() === "") return say.lotTrouble.name_missing;
  if (lot.name.trim().length > 120) return say.lotTrouble.name_long;
  return lot.received_on === "" || /^\d{4}-\d{2}-\d{2}$/.test(lot.received_on) ? null : say.lotTrouble.date_bad;
}

function newLot(club: IntakeClub): LotChoice {
  const code = continued(club.lotCodes, new Set(club.lotCodes.map(plainCode))) ?? "";
  return { kind: "new", id: newId(), code, name: "", quarry: "", received_on: calendarDay(new Date()), notes: "" };
}

/** The lot that the stones came in with: one that is here, or a new one. */
export function LotPick({ lot, club, onLot }: { lot: LotChoice; club: IntakeClub; onLot: (lot: LotChoice) => void }) {
  const [printing, setPrinting] = useState(false);
  const stones = lot.kind === "here" ? club.ofLot.get(lot.id) ?? [] : [];
  return (
    <section class="stack">
      <SelectField
        name={say.lot}
        value={lot.kind === "here" ? lot.id : lot.kind === "new" ? fresh : ""}
        empty={say.chooseLot}
        options={[{ value: fresh, words: say.newLot }, ...club.lots.map((one) => ({ value: one.id, words: `${one.code} ${one.name}` }))]}
        onSet={(value) => {
          setPrinting(false);
          if (value === "") onLot({ kind: "none" });
          else if (value !== fresh) onLot({ kind: "here", id: value });
          else if (lot.kind !== "new") onLot(newLot(club));
        }}
      />
      {lot.kind === "none" && <p>{say.lotFirst}</p>}
      {lot.kind === "new" && <NewLot lot={lot} trouble={lotTrouble(lot, club)} onLot={onLot} />}
      {stones.length > 0 && (
        <div class="row">
          <p class="soft">{say.inLot(stones.length)}</p>
          {stones.length <= mostLabels && !printing && (
            <button type="button" class="button" onClick={() => setPrinting(true)}>{say.labelsOfLot(stones.length)}</button>
          )}
        </div>
      )}
      {printing && <PrintLabels stoneIds={stones.map(({ id }) => id)} print={printLabels} onClose={() => setPrinting(false)} />}
    </section>
  );
}

function NewLot({ lot, trouble, onLot }: { lot: LotChoice & { kind: "new" }; trouble: string | null; onLot: (lot: LotChoice) => void }) {
  const id = useId();
  // Whoever comes back to a lot that is described already has stones in hand.
  const [open, setOpen] = useState(trouble !== null);
  const set = (changes: Partial<typeof lot>): void => onLot({ ...lot, ...changes });
  const box = (name: "code" | "name" | "quarry", words: string) => (
    <div class="field">
      <label for={`${id}-${name}`}>{words}</label>
      <input
        id={`${id}-${name}`}
        type="text"
        autocomplete="off"
        maxLength={name === "code" ? 20 : 120}
        value={lot[name]}
        onInput={(event) => set({ [name]: event.currentTarget.value })}
      />
    </div>
  );
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary class={styles.summary}>{trouble === null ? say.lotIs(lot.code, lot.name) : say.newLot}</summary>
      <div class={styles.fields}>
        {box("code", say.lotCode)}
        {box("name", say.lotName)}
        {box("quarry", say.quarry)}
        <div class="field">
          <label for={`${id}-received`}>{say.received}</label>
          <input id={`${id}-received`} type="date" value={lot.received_on} onInput={(event) => set({ received_on: event.currentTarget.value })} />
        </div>
        <div class={`field ${styles.whole}`}>
          <label for={`${id}-notes`}>{say.lotNotes}</label>
          <textarea id={`${id}-notes`} rows={2} maxLength={4000} value={lot.notes} onInput={(event) => set({ notes: event.currentTarget.value })} />
        </div>
      </div>
      {trouble !== null && <p class="note">{trouble}</p>}
    </details>
  );
}
