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
  /** Shown from now on, and kept only once something is set: after a command, or for a lot that the address names. */
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
  const unkept = useRef(false);
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
    while (unkept.current) {
      unkept.current = false;
      try {
        await openDraft({ key: draftKey, kind: draftKind, about_id: null });
        await setDraftValues(draftKey, { ...latest.current });
        setTrouble(null);
      } catch (error) {
        // The next key tries again.
        unkept.current = true;
        setTrouble(error instanceof Error ? error.message : String(error));
        return;
      }
    }
  }, []);

  const set = useCallback<Intake["set"]>((asked) => {
    latest.current = { ...latest.current, ...(typeof asked === "function" ? asked(latest.current) : asked) };
    unkept.current = true;
    setValues(latest.current);
    writing.current ??= write().finally(() => { writing.current = null; });
  }, [write]);

  const settled = useCallback(async () => {
    await writing.current;
    await write();
    // Read as a function call, since the write above has changed it.
    if (((): boolean => unkept.current)()) throw new Error("The rows could not be kept on this device.");
  }, [write]);

  const follow = useCallback((next: IntakeValues) => {
    latest.current = next;
    setValues(next);
  }, []);

  return values === undefined ? undefined : { values, set, settled, follow, trouble };
}
