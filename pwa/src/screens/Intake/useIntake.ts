import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { IntakeRow } from "../../domain/intake/rows";
import type { Stage } from "../../domain/intake/stage";
import { readDraft } from "../../store/drafts";
import { openDraft, setDraftValues } from "../../sync/commands";

export type LotChoice =
  | { readonly kind: "none" }
  | { readonly kind: "here"; readonly id: string }
  /** Its id is made once, with the choice. */
  | { readonly kind: "new"; readonly id: string; readonly code: string; readonly name: string; readonly quarry: string; readonly received_on: string; readonly notes: string };

/** Everything that a reload must not lose. */
export interface IntakeValues {
  readonly lot: LotChoice;
  readonly rows: readonly IntakeRow[];
  readonly stage: Stage | null;
}

export const draftKey = "intake";
export const draftKind = "intake";
export const nothing: IntakeValues = { lot: { kind: "none" }, rows: [], stage: null };

export interface Intake {
  readonly values: IntakeValues;
  readonly set: (changes: Partial<IntakeValues> | ((now: IntakeValues) => Partial<IntakeValues>)) => void;
  /** Resolves when everything set so far is in the store. */
  readonly settled: () => Promise<void>;
  /** The store was changed by a command; the screen follows. */
  readonly follow: (values: IntakeValues) => void;
  readonly trouble: string | null;
}

/**
 * The draft of an intake, in the store the moment anything is set. Hundreds of rows are one value, so what is typed
 * while a write is under way goes into the next one together, instead of a write for every key.
 */
export function useIntake(): Intake | undefined {
  const [values, setValues] = useState<IntakeValues | undefined>();
  const [trouble, setTrouble] = useState<string | null>(null);
  const latest = useRef<IntakeValues>(nothing);
  const pending = useRef<Partial<IntakeValues> | null>(null);
  const writing = useRef<Promise<void> | null>(null);

  useEffect(() => {
    let current = true;
    void readDraft(draftKey).then((draft) => {
      if (!current) return;
      latest.current = { ...nothing, ...(draft?.values as Partial<IntakeValues> | undefined) };
      setValues(latest.current);
    });
    return () => { current = false; };
  }, []);

  const write = useCallback(async (): Promise<void> => {
    while (pending.current !== null) {
      const changes = pending.current;
      pending.current = null;
      try {
        await openDraft({ key: draftKey, kind: draftKind, about_id: null });
        await setDraftValues(draftKey, changes);
        setTrouble(null);
      } catch (error) {
        // Kept for the next try, which the next key makes; what was set meanwhile is newer.
        pending.current = { ...changes, ...(pending.current as Partial<IntakeValues> | null) };
        setTrouble(error instanceof Error ? error.message : String(error));
        return;
      }
    }
  }, []);

  const set = useCallback<Intake["set"]>((asked) => {
    const changes = typeof asked === "function" ? asked(latest.current) : asked;
    latest.current = { ...latest.current, ...changes };
    pending.current = { ...pending.current, ...changes };
    setValues(latest.current);
    writing.current ??= write().finally(() => { writing.current = null; });
  }, [write]);

  const settled = useCallback(async () => {
    await writing.current;
    if (pending.current !== null) await write();
    if (pending.current !== null) throw new Error("The rows could not be kept on this device.");
  }, [write]);

  const follow = useCallback((next: IntakeValues) => {
    latest.current = next;
    setValues(next);
  }, []);

  return values === undefined ? undefined : { values, set, settled, follow, trouble };
}
