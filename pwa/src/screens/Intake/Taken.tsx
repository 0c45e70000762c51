import { useId, useState } from "preact/hooks";
import { PrintLabels } from "../../parts/PrintLabels";
import { readQueue } from "../../store/outbox";
import { withdraw } from "../../sync/commands";
import { printLabels } from "../../sync/labels";
import { intake as say } from "../../words/intake";
import { useCalmly } from "./useCalmly";

export interface TakenIn {
  readonly lotId: string;
  readonly lotCode: string;
  readonly stoneIds: readonly string[];
  readonly offerIds: readonly string[];
  /** Rows that stayed in the draft. */
  readonly n_left: number;
}

/** How far what was taken in has come. */
async function readFate(taken: TakenIn): Promise<{ waiting: number; needsYou: number }> {
  const ids = new Set([taken.lotId, ...taken.stoneIds]);
  const own = (await readQueue()).filter((entry) => ids.has(entry.record_id) && entry.state !== "set_aside");
  const needsYou = own.filter((entry) => entry.state === "needs_you").length;
  return { waiting: own.length - needsYou, needsYou };
}

/** After taking in: what became of it, labels, and the way back. */
export function Taken({ taken, onDone }: { taken: TakenIn; onDone: () => void }) {
  const id = useId();
  const fate = useCalmly([], () => readFate(taken));
  const [printing, setPrinting] = useState(false);
  const [undoing, setUndoing] = useState(false);
  const [why, setWhy] = useState("");
  const [trouble, setTrouble] = useState<string | null>(null);
  const [undone, setUndone] = useState(false);
  const n = taken.stoneIds.length;

  const undo = async (): Promise<void> => {
    const reason = why.trim();
    if (reason === "") {
      setTrouble(say.undoNeedsReason);
      return;
    }
    try {
      // Offers first: what is asked for a stone makes no sense without it.
      for (const one of taken.offerIds) await withdraw("offer", one, reason);
      for (const one of taken.stoneIds) await withdraw("stone", one, reason);
      setUndone(true);
      setUndoing(false);
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    }
  };

  return (
    <section class="sheet" aria-label={say.takenTitle(n, taken.lotCode)}>
      <h2>{say.takenTitle(n, taken.lotCode)}</h2>
      {undone ? <p role="status">{say.undone(n)}</p> : fate !== undefined && (
        <p role="status">
          {fate.needsYou > 0 ? <a href="/">{say.takenNeeds(fate.needsYou)}</a> : fate.waiting > 0 ? say.takenWait(fate.waiting) : say.takenOut}
        </p>
      )}
      {taken.n_left > 0 && <p>{say.left(taken.n_left)}</p>}
      {printing && <PrintLabels stoneIds={taken.stoneIds} print={printLabels} onClose={() => setPrinting(false)} />}
      {undoing ? (
        <div class="stack">
          <div class="field">
            <label for={id}>{say.undoWhy}</label>
            <textarea id={id} rows={2} maxLength={500} value={why} onInput={(event) => setWhy(event.currentTarget.value)} aria-describedby={`${id}-help`} />
            <p class="note" id={`${id}-help`}>{say.undoHelp}</p>
            {trouble !== null && <p class="wrong" role="alert">{trouble}</p>}
          </div>
          <div class="row">
            <button type="button" class="button" onClick={() => setUndoing(false)}>{say.cancel}</button>
            <button type="button" class="button button-hand" onClick={() => void undo()}>{say.undoAll(n)}</button>
          </div>
        </div>
      ) : (
        <div class="row">
          {!undone && !printing && <button type="button" class="button button-main" onClick={() => setPrinting(true)}>{say.printLabels}</button>}
          <a class="button" href={`/stones?lot=${taken.lotId}`}>{say.seeStones}</a>
          <button type="button" class="button" onClick={onDone}>{say.takeMore}</button>
          {!undone && <button type="button" class="button button-plain" onClick={() => setUndoing(true)}>{say.undoTitle}</button>}
        </div>
      )}
    </section>
  );
}
