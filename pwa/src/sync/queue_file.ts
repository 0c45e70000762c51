/**
 * The queue as a file: for a phone that will not reach the service any more, or simply to be safe. Reading it back,
 * here or on another phone, any number of times, leaves each record once: a record is known by its id, a photo by
 * its content, and what the service has already it takes again without writing.
 */

import { practiceKind } from "../constants";
import { sameJson } from "../domain/same";
import { db as theDb, type Draft, type QueueEntry, type StoredPhoto, type WhetpanelDb } from "../store/db";

const format = "whetpanel-queue";
const edition = 1;

interface QueueFile {
  readonly format: typeof format;
  readonly edition: number;
  readonly saved_at: string;
  readonly records: readonly QueueEntry[];
  readonly photos: readonly { readonly sha256: string; readonly media_type: string; readonly base64: string }[];
  readonly drafts: readonly Draft[];
}

export interface ReadBack {
  readonly records: number;
  readonly photos: number;
  readonly drafts: number;
  /** What this phone held already. */
  readonly present: number;
  /** Names of members whose records these are, if not all belong to the member signed in. */
  readonly others: readonly string[];
}

export class NotAQueueFile extends Error {
  constructor(detail: string) {
    super(`This file cannot be read back: ${detail} Choose a file that "Save to a file" made.`);
    this.name = "NotAQueueFile";
  }
}

function toBase64(data: ArrayBuffer): string {
  const bytes = new Uint8Array(data);
  let text = "";
  // In pieces, because a call takes only so many arguments.
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
}

const fromBase64 = (text: string): ArrayBuffer => Uint8Array.from(atob(text), (char) => char.charCodeAt(0)).buffer;

/** Everything on this phone that is not on the service, of every member, as one JSON text. */
export async function writeQueueFile(now: Date, db: WhetpanelDb = theDb): Promise<string> {
  const { records, drafts, photos } = await db.transaction("r", db.outbox, db.drafts, db.photo_blobs, async () => {
    const records = await db.outbox.orderBy("sequence").toArray();
    const hashes = records.filter((entry) => entry.act === "photo").map((entry) => entry.record_id);
    // Practice is nobody's record and belongs to no other phone.
    const drafts = await db.drafts.filter(({ kind }) => kind !== practiceKind).toArray();
    return { records, drafts, photos: await db.photo_blobs.bulkGet(hashes) };
  });
  const file: QueueFile = {
    format,
    edition,
    saved_at: now.toISOString(),
    records,
    photos: photos
      .filter((photo) => photo !== undefined)
      .map(({ sha256, media_type, data }) => ({ sha256, media_type, base64: toBase64(data) })),
    drafts,
  };
  return JSON.stringify(file);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

const acts = new Set(["put", "withdraw", "exclude", "include", "photo"]);
const texts = ["record_id", "thing", "path", "member_id", "member_name", "club_id", "recorded_at"] as const;

function isEntry(value: unknown): value is QueueEntry {
  if (!isRecord(value) || !texts.every((name) => typeof value[name] === "string")) return false;
  // The path is where the record will be sent: nothing but one of our own paths may come out of a file.
  return acts.has(value["act"] as string) && /^\/[a-z-]+(\/[0-9a-f-]+(\/[a-z]+)?)?$/.test(value["path"] as string);
}

function parse(text: string): QueueFile {
  let file: unknown;
  try {
    file = JSON.parse(text);
  } catch {
    throw new NotAQueueFile("it is damaged or of another kind.");
  }
  if (!isRecord(file) || file["format"] !== format) throw new NotAQueueFile("it is of another kind.");
  if (file["edition"] !== edition) throw new NotAQueueFile("a newer version of the app wrote it. Update the app first.");
  const { records, photos, drafts } = file;
  if (!Array.isArray(records) || !Array.isArray(photos) || !Array.isArray(drafts)) throw new NotAQueueFile("it is damaged.");
  if (!records.every(isEntry)) throw new NotAQueueFile("a record in it is damaged.");
  return file as unknown as QueueFile;
}

async function readPhotos(file: QueueFile, now: Date): Promise<StoredPhoto[]> {
  return Promise.all(
    file.photos.map(async ({ sha256, media_type, base64 }) => {
      const data = fromBase64(base64);
      const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
      const name = Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
      if (name !== sha256) throw new NotAQueueFile("a photo in it is damaged.");
      return { sha256, media_type, data, kept_at: now.toISOString() };
    }),
  );
}

/** A fresh place in this phone's queue. What went out from the other phone may have arrived, so `tried` stays. */
function arriving(entry: QueueEntry): QueueEntry {
  const fresh: QueueEntry = { ...entry, tried_at: null, next_try_at: null };
  delete fresh.sequence;
  return entry.state === "sending" ? { ...fresh, state: "waiting" } : fresh;
}

const sameWork = (a: QueueEntry, b: QueueEntry): boolean =>
  a.path === b.path && a.member_id === b.member_id && a.club_id === b.club_id && sameJson(a.body, b.body);

/** All or nothing: a file that is damaged anywhere changes nothing here. */
export async function readQueueFile(text: string, now: Date, db: WhetpanelDb = theDb): Promise<ReadBack> {
  const file = parse(text);
  const photos = await readPhotos(file, now);
  return db.transaction("rw", db.outbox, db.drafts, db.photo_blobs, db.meta, async () => {
    let [added, present, drafts] = [0, 0, 0];
    for (const entry of file.records) {
      const rivals = (await db.outbox.where("path").equals(entry.path).toArray()).filter(
        (other) => other.member_id === entry.member_id && other.club_id === entry.club_id,
      );
      if (rivals.some((rival) => sameWork(rival, entry))) {
        present += 1;
        continue;
      }
      const active = rivals.find((rival) => rival.state !== "set_aside");
      const incoming = arriving(entry);
      // Two versions of one record: the later goes on, the earlier is set aside, neither is lost.
      if (active === undefined || incoming.state === "set_aside") await db.outbox.add(incoming);
      else if (active.state === "sending" || Date.parse(active.recorded_at) >= Date.parse(incoming.recorded_at)) {
        await db.outbox.add({ ...incoming, state: "set_aside" });
      } else {
        await db.outbox.put({ ...active, state: "set_aside" });
        await db.outbox.add(incoming);
      }
      added += 1;
    }
    for (const draft of file.drafts) {
      const held = await db.drafts.get([draft.member_id, draft.key]);
      if (held !== undefined && held.touched_at >= draft.touched_at) continue;
      await db.drafts.put(draft);
      drafts += 1;
    }
    await db.photo_blobs.bulkPut(photos);
    const me = (await db.note("session"))?.member.id;
    const others = new Set(file.records.filter((entry) => entry.member_id !== me).map((entry) => entry.member_name));
    const sent = file.records.filter((entry) => entry.act === "photo").length;
    return { records: added, photos: Math.min(sent, photos.length), drafts, present, others: [...others] };
  });
}
