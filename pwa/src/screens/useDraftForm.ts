import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { Draft } from "../store/db";
import { readDraft } from "../store/drafts";
import { dropDraft, openDraft, setDraftValues } from "../sync/commands";

export type Values = Readonly<Record<string, unknown>>;

export interface DraftForm {
  /** What is on the screen now: every value set so far, kept or on its way to being kept. */
  readonly values: Values;
  readonly draft: Draft | null;
  readonly set: (changes: Values) => void;
  /** Resolves when everything set so far is in the store; needed before the record is made from it. */
  readonly settled: () => Promise<Draft | null>;
  /** Lets the draft go. */
  readonly drop: () => Promise<void>;
  /** Empties the screen after the draft became a record (saveRecord with `draft`). */
  readonly clear: () => void;
  /** The last thing that could not be kept, for instance because the phone is full. */
  readonly trouble: string | null;
}

/** What a form begins with that changes a record there is already: the record's id, and its values. */
export interface Start {
  readonly record_id: string;
  readonly values: Values;
}

const empty: Values = {};

/**
 * A form whose every value is a draft in the store the moment it is set.
 *
 * The screen shows its own copy, so that a fast hand never sees an older value come back, and the
 * writes go out one after another in the order they were made. Looking at a form begins no draft;
 * the first value does. `undefined` until the store has said whether there is one already.
 * `start` is looked at once for each key; keep it the same object.
 */
export function useDraftForm(about: { key: string; kind: string; about_id: string; start?: Start }): DraftForm | undefined {
  const { key, kind, about_id, start } = about;
  const fresh = start?.values ?? empty;
  const [loaded, setLoaded] = useState<{ key: string; draft: Draft | null; values: Values } | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const writes = useRef<Promise<unknown>>(Promise.resolve());

  useEffect(() => {
    let current = true;
    void readDraft(key).then((draft) => {
      if (current) setLoaded({ key, draft, values: draft?.values ?? fresh });
    });
    return () => { current = false; };
  }, [key, fresh]);

  const set = useCallback((changes: Values) => {
    setLoaded((now) => (now === null ? now : { ...now, values: merged(now.values, changes) }));
    writes.current = writes.current
      .then(async () => {
        const draft = await openDraft({ key, kind, about_id, ...start });
        await setDraftValues(key, changes);
        setLoaded((now) => (now?.key === key && now.draft === null ? { ...now, draft } : now));
        setTrouble(null);
      })
      .catch((error: unknown) => setTrouble(error instanceof Error ? error.message : String(error)));
  }, [key, kind, about_id, start]);

  const settled = useCallback(async () => {
    await writes.current;
    return readDraft(key);
  }, [key]);

  const drop = useCallback(async () => {
    await writes.current;
    await dropDraft(key);
    setLoaded({ key, draft: null, values: fresh });
  }, [key, fresh]);

  const clear = useCallback(() => setLoaded({ key, draft: null, values: fresh }), [key, fresh]);

  if (loaded?.key !== key) return undefined;
  return { values: loaded.values, draft: loaded.draft, set, settled, drop, clear, trouble };
}

/** `undefined` takes a value away, as in the store. */
function merged(values: Values, changes: Values): Values {
  return Object.fromEntries(Object.entries({ ...values, ...changes }).filter(([, value]) => value !== undefined));
}
