/** Live reads for screens: the merged picture of every kind of record. Use them inside `useLive`. */

import type { Records, Thing } from "../domain/records";
import { db as theDb, tableOf, type Session, type WhetpanelDb } from "./db";
import { overlay, type Seen } from "./overlay";

export type { RecordState, Seen } from "./overlay";

interface Choice<T extends Thing> {
  /** Also the withdrawn ones. */
  readonly withdrawn?: boolean;
  /** Only records whose field has this value, for instance { stone_id }. */
  readonly where?: Partial<Records[T]>;
}

/** The member's own entries of a kind, or of one record: a queue may hold a whole lot, so one record is found by its id. */
async function ownEntries(db: WhetpanelDb, thing: Thing, id?: string) {
  const session = await db.note("session");
  const asked = id === undefined ? db.outbox.where("thing").equals(thing) : db.outbox.where("record_id").equals(id);
  const entries = await asked.sortBy("sequence");
  return entries.filter((entry) => entry.member_id === session?.member.id && entry.club_id === session.club.id);
}

const isWithdrawn = (record: object): boolean => "withdrawn" in record && record.withdrawn !== null;

/** All records of a kind, in no particular order. */
export async function readAll<T extends Thing>(
  thing: T,
  choice: Choice<T> = {},
  db: WhetpanelDb = theDb,
): Promise<Seen<T>[]> {
  const wanted = Object.entries(choice.where ?? {});
  // One transaction, so that a record on its way from the outbox to the catalogue is never seen in neither.
  const seen = await db.transaction("r", [tableOf(db, thing), db.outbox, db.meta], async () => {
    const table = tableOf(db, thing);
    const indexed = wanted.find(([field]) => table.schema.indexes.some((index) => index.name === field));
    const rows =
      indexed === undefined ? await table.toArray() : await table.where(indexed[0]).equals(indexed[1] as string).toArray();
    return overlay(thing, rows, await ownEntries(db, thing));
  });
  return seen.filter(
    ({ record }) =>
      (choice.withdrawn === true || !isWithdrawn(record)) &&
      wanted.every(([field, value]) => (record as unknown as Record<string, unknown>)[field] === value),
  );
}

/** One record, also a withdrawn one; null when this phone does not hold it. */
export async function readOne<T extends Thing>(thing: T, id: string, db: WhetpanelDb = theDb): Promise<Seen<T> | null> {
  return db.transaction("r", [tableOf(db, thing), db.outbox, db.meta], async () => {
    const row = await tableOf(db, thing).get(id);
    const entries = await ownEntries(db, thing, id);
    return overlay(thing, row === undefined ? [] : [row], entries)[0] ?? null;
  });
}

export async function readClub(db: WhetpanelDb = theDb): Promise<Seen<"club"> | null> {
  return (await readAll("club", {}, db))[0] ?? null;
}

export async function readRuleSet(db: WhetpanelDb = theDb): Promise<Seen<"rule_set"> | null> {
  return (await readAll("rule_set", {}, db))[0] ?? null;
}

/** Who works here; null when nobody is signed in on this phone. */
export async function readSession(db: WhetpanelDb = theDb): Promise<Session | null> {
  return db.note("session");
}

/** A stone by the code on its label, whatever the case and spaces it was typed with. */
export async function findStoneByCode(typed: string, db: WhetpanelDb = theDb): Promise<Seen<"stone"> | null> {
  const plain = (code: string): string => code.replaceAll(/[\s-]/g, "").toLowerCase();
  const wanted = plain(typed);
  if (wanted === "") return null;
  return (await readAll("stone", {}, db)).find(({ record }) => plain(record.code) === wanted) ?? null;
}

/** The bytes of a photo taken on this phone; null when it must be fetched. */
export async function readPhotoBlob(sha256: string, db: WhetpanelDb = theDb): Promise<Blob | null> {
  const kept = await db.photo_blobs.get(sha256);
  return kept === undefined ? null : new Blob([kept.data], { type: kept.media_type });
}
