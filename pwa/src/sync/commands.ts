/**
 * What screens may do. A command writes to the local store and returns as soon as that is safe; sending
 * happens by itself. Screens await the command, then show the record as waiting.
 *
 *   const id = newId();
 *   await saveRecord("trial", id, { stone_id, blade_id, ... }, null);             a new record
 *   await saveRecord("trial", id, { ...ownFields("trial", record), notes }, record.version);   an edit
 *   await saveRecord("trial", draft.record_id, body, null, { draft: draft.key }); and its draft is done
 *   await saveRecords([...], { key: draft.key, left: null });                     many at once, all or none
 *   const sha256 = await savePhoto(blob);                                         bytes; the record names the hash
 *   await withdraw("trial", id, "Wrong stone in hand");
 *
 * An edit in a form that may stay open for long also says which edition it began on, `{ madeOn: record.recorded_at }`:
 * that edition may go out meanwhile.
 *
 * `base` is the `version` of the record the edit was made on (0 and null both mean: not sent yet). Body holds own
 * fields only (domain/records.ts, ownFields); recorded_at is added here. All may throw StorageFull: show its
 * message and leave the form as it is. Drafts: openDraft, setDraftValue, setDraftValues and dropDraft below.
 */

import { v7 as uuidv7 } from "uuid";
import { photoCeilingBytes } from "../constants";
import type { OwnFields, WrittenThing } from "../domain/records";
import { db } from "../store/db";
import * as drafts from "../store/drafts";
import * as outbox from "../store/outbox";
import { keepPracticePhoto, letGoOfSentPhotos } from "../store/photos";
import { withRoom } from "./flags";
import { ahead, makeRoom, nudge, nudgeAfterSave } from "./loop";
import { readQueueFile, writeQueueFile, type ReadBack } from "./queue_file";

export type { ReadBack } from "./queue_file";
export { StorageFull } from "./flags";
export { NobodySignedIn } from "../store/outbox";

/** A new record's id: UUIDv7, so that ids sort by time of making. */
export const newId = (): string => uuidv7();

/** Asks the browser once not to clear this app's storage when room runs short. */
async function askToPersist(): Promise<void> {
  if ((await db.note("persist_asked")) === true) return;
  await db.keep("persist_asked", true);
  // Missing on plain http addresses and in old browsers.
  const storage = navigator.storage as StorageManager | undefined;
  await storage?.persist();
}

async function saved<T>(write: () => Promise<T>): Promise<T> {
  const result = await withRoom(write, makeRoom);
  nudgeAfterSave();
  void askToPersist().catch(() => undefined);
  return result;
}

/** Saves a record here and queues it. With `draft`, that draft goes in the same step. */
export async function saveRecord<T extends WrittenThing>(
  thing: T,
  id: string,
  body: OwnFields<T>,
  base: number | null,
  also: { readonly draft?: string; readonly madeOn?: string | null } = {},
): Promise<void> {
  const write = {
    thing, record_id: id, body: body as Readonly<Record<string, unknown>>, base: base === 0 ? null : base,
    made_on: also.madeOn ?? null,
  };
  await saved(() => outbox.saveToQueue(write, also.draft ?? null, new Date()));
}

/** A record of any kind on its way to be saved with others. */
export type RecordToSave = {
  readonly [T in WrittenThing]: { readonly thing: T; readonly id: string; readonly body: OwnFields<T>; readonly base: number | null; readonly madeOn?: string | null };
}[WrittenThing];

/**
 * Saves many records in one step, all or none, to be sent in the order given: a lot, then its stones, then their
 * offers. Of the draft they were made from, if any, stays `left`; null lets it go.
 */
export async function saveRecords(
  records: readonly RecordToSave[],
  draft: { readonly key: string; readonly left: Readonly<Record<string, unknown>> | null } | null = null,
): Promise<void> {
  const writes = records.map(({ thing, id, body, base, madeOn }) => ({
    thing, record_id: id, body, base: base === 0 ? null : base, made_on: madeOn ?? null,
  }));
  await saved(() => outbox.saveAllToQueue(writes, draft, new Date()));
}

/** Withdraws a record with a reason. What never reached the service is set aside here instead. */
export async function withdraw(thing: WrittenThing, id: string, reason: string): Promise<void> {
  await saved(() => outbox.withdrawInQueue(thing, id, reason, new Date()));
}

/** Dealer: leaves a trial out of the pooling, with the reason; it stays readable. */
export async function excludeTrial(id: string, reason: string): Promise<void> {
  await saved(() => outbox.excludeInQueue(id, reason, new Date()));
}

/** Dealer: takes a left-out trial back in. */
export async function includeTrial(id: string): Promise<void> {
  await saved(() => outbox.excludeInQueue(id, null, new Date()));
}

export class PhotoTooLarge extends Error {
  constructor() {
    super("This photo is over 8 MB. Take it again with a smaller size.");
    this.name = "PhotoTooLarge";
  }
}

const hex = (bytes: ArrayBuffer): string =>
  Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, "0")).join("");

async function named(photo: Blob) {
  if (photo.size > photoCeilingBytes) throw new PhotoTooLarge();
  const data = await photo.arrayBuffer();
  return { sha256: hex(await crypto.subtle.digest("SHA-256", data)), data, media_type: photo.type };
}

/** Keeps a photo and queues it; answers its SHA-256, by which records name it. */
export async function savePhoto(photo: Blob): Promise<string> {
  const kept = await named(photo);
  await saved(() => outbox.savePhotoToQueue(kept, new Date()));
  return kept.sha256;
}

/** Keeps a photo of a practice trial, which is never sent. */
export async function savePracticePhoto(photo: Blob): Promise<string> {
  const kept = await named(photo);
  await withRoom(() => keepPracticePhoto(kept, new Date()), makeRoom);
  return kept.sha256;
}

/** Tries a parked record again as it is. */
export async function retry(sequence: number): Promise<void> {
  await outbox.changeEntry(db, sequence, (entry) =>
    entry.state === "needs_you" ? { state: "waiting", attempts: 0, next_try_at: null, problem: null } : "leave",
  );
  await nudge("asked");
}

/** Two versions: mine goes on top of theirs. Theirs stays readable on the service as an earlier version. */
export async function keepMine(sequence: number): Promise<void> {
  await outbox.changeEntry(db, sequence, (entry) =>
    entry.state === "needs_you" && entry.theirs !== null
      ? { state: "waiting", base: outbox.versionOf(entry.theirs), theirs: null, problem: null, attempts: 0, next_try_at: null }
      : "leave",
  );
  await nudge("asked");
}

/** Two versions: theirs stays. Mine is set aside on this phone and can be put back. */
export const takeTheirs = (sequence: number): Promise<void> => outbox.yieldToTheirs(db, sequence);

/** Stops sending an entry. It is kept, shown as set aside, and can be put back. */
export const setAside = (sequence: number): Promise<void> => outbox.setEntryAside(db, sequence);

export async function putBack(sequence: number): Promise<void> {
  await outbox.putEntryBack(db, sequence);
  await nudge("asked");
}

/** A round now; resolves when it is over. */
export const syncNow = (): Promise<void> => nudge("asked");

/** Asked of the phone: is there room, and how much is used. null where the browser does not tell. */
export async function readStorage(): Promise<{ readonly usedBytes: number; readonly roomBytes: number; readonly persisted: boolean } | null> {
  const storage = navigator.storage as StorageManager | undefined;
  if (storage === undefined) return null;
  const { usage, quota } = await storage.estimate();
  return { usedBytes: usage ?? 0, roomBytes: quota ?? 0, persisted: await storage.persisted() };
}

/** Lets all photos go that are on the service already; answers how many went. */
export const letSentPhotosGo = (): Promise<number> => letGoOfSentPhotos(0);

/** Fetches the small pictures this member may want without a signal, whatever the line costs. */
export const fetchPhotosAhead = () => ahead.run(true);

export const openDraft = (wanted: Parameters<typeof drafts.openDraft>[0]) => withRoom(() => drafts.openDraft(wanted), makeRoom);
export const setDraftValue = (key: string, name: string, value: unknown) =>
  withRoom(() => drafts.setDraftValue(key, name, value), makeRoom);
export const setDraftValues = (key: string, changes: Readonly<Record<string, unknown>>) =>
  withRoom(() => drafts.setDraftValues(key, changes), makeRoom);
export const dropDraft = (key: string) => drafts.dropDraft(key);

/** Everything on this phone that is not on the service, as the text of a file. */
export const saveQueue = (now: Date): Promise<string> => writeQueueFile(now);

/** Reads such a file back; throws NotAQueueFile with a sentence to show. Twice is harmless. */
export const readQueueBack = (text: string): Promise<ReadBack> => saved(() => readQueueFile(text, new Date()));
