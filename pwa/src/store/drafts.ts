/** Half-typed forms. Every value is saved the moment it is set, so that a dropped phone costs nothing. */

import { v7 as uuidv7 } from "uuid";
import { db as theDb, type Draft, type WhetpanelDb } from "./db";

const writerOf = async (db: WhetpanelDb): Promise<string> => (await db.note("session"))?.member.id ?? "";

/** The draft under a key, if this member has one. */
export async function readDraft(key: string, db: WhetpanelDb = theDb): Promise<Draft | null> {
  return (await db.drafts.get([await writerOf(db), key])) ?? null;
}

/** All drafts of this member, the latest touched first. */
export async function readDrafts(db: WhetpanelDb = theDb): Promise<Draft[]> {
  const drafts = await db.drafts.where("member_id").equals(await writerOf(db)).toArray();
  return drafts.sort((a, b) => b.touched_at.localeCompare(a.touched_at));
}

interface NewDraft {
  readonly key: string;
  readonly kind: string;
  readonly about_id: string | null;
  /** Set when the form edits an existing record; else a new id is made. */
  readonly record_id?: string;
  readonly values?: Readonly<Record<string, unknown>>;
}

/** The draft under the key; begun if there is none. Calling it twice begins one. */
export async function openDraft(wanted: NewDraft, db: WhetpanelDb = theDb): Promise<Draft> {
  return db.transaction("rw", db.drafts, db.meta, async () => {
    const member_id = await writerOf(db);
    const present = await db.drafts.get([member_id, wanted.key]);
    if (present !== undefined) return present;
    const now = new Date().toISOString();
    const draft: Draft = {
      key: wanted.key,
      member_id,
      kind: wanted.kind,
      about_id: wanted.about_id,
      record_id: wanted.record_id ?? uuidv7(),
      values: wanted.values ?? {},
      started_at: now,
      touched_at: now,
    };
    await db.drafts.add(draft);
    return draft;
  });
}

/** Sets one value; `undefined` clears it. Names are the form's own, for instance "grades.hardness". */
export async function setDraftValue(key: string, name: string, value: unknown, db: WhetpanelDb = theDb): Promise<void> {
  await setDraftValues(key, { [name]: value }, db);
}

/** Sets several values in one go. */
export async function setDraftValues(
  key: string,
  changes: Readonly<Record<string, unknown>>,
  db: WhetpanelDb = theDb,
): Promise<void> {
  await db.transaction("rw", db.drafts, db.meta, async () => {
    const draft = await db.drafts.get([await writerOf(db), key]);
    if (draft === undefined) throw new Error(`There is no draft ${key}; call openDraft first.`);
    const values = Object.fromEntries(
      Object.entries({ ...draft.values, ...changes }).filter(([, value]) => value !== undefined),
    );
    await db.drafts.put({ ...draft, values, touched_at: new Date().toISOString() });
  });
}

/** Lets a draft go: after its record was saved, or because its writer said so. */
export async function dropDraft(key: string, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.drafts, db.meta, async () => {
    await db.drafts.delete([await writerOf(db), key]);
  });
}
