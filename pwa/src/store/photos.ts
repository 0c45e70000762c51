/** Photos taken here and sent already: a convenience, so they are the first to go when room runs short. */

import { db as theDb, type StoredPhoto, type WhetpanelDb } from "./db";

async function sentKeys(db: WhetpanelDb): Promise<Set<string>> {
  const waiting = await db.outbox.where("thing").equals("photo").toArray();
  const keys = new Set(await db.photo_blobs.toCollection().primaryKeys());
  for (const entry of waiting) keys.delete(entry.record_id);
  return keys;
}

export interface PhotoStock {
  /** On the service already; may go when room is needed. */
  readonly sent: { readonly count: number; readonly bytes: number };
  /** Exist nowhere else, or are about to be looked at. */
  readonly needed: { readonly count: number; readonly bytes: number };
}

/** How many photos this phone keeps, and how much room they take. */
export async function readPhotoStock(db: WhetpanelDb = theDb): Promise<PhotoStock> {
  return db.transaction("r", db.photo_blobs, db.outbox, db.drafts, async () => {
    const [keys, isNamed] = [await sentKeys(db), await namedInDrafts(db)];
    const [sent, needed] = [{ count: 0, bytes: 0 }, { count: 0, bytes: 0 }];
    await db.photo_blobs.each(({ sha256, data }) => {
      const heap = keys.has(sha256) && !isNamed(sha256) ? sent : needed;
      heap.count += 1;
      heap.bytes += data.byteLength;
    });
    return { sent, needed };
  });
}

/** Whether a half-typed form names a photo; its record is not in the queue yet. */
async function namedInDrafts(db: WhetpanelDb): Promise<(sha256: string) => boolean> {
  const drafts = JSON.stringify(await db.drafts.toArray());
  return (sha256) => drafts.includes(sha256);
}

/**
 * Lets sent photos go, the oldest first, until the rest take at most `keepBytes`. What waits, was set aside or
 * belongs to a draft stays whatever its size: it exists nowhere else, or is about to be looked at. Answers how
 * many went.
 */
export async function letGoOfSentPhotos(keepBytes: number, db: WhetpanelDb = theDb): Promise<number> {
  return db.transaction("rw", db.photo_blobs, db.outbox, db.drafts, async () => {
    const [sent, isNamed] = [await sentKeys(db), await namedInDrafts(db)];
    const kept: { readonly sha256: string; readonly kept_at: string; readonly bytes: number }[] = [];
    // One by one: all photos at once could be more than the phone's memory.
    await db.photo_blobs.each(({ sha256, kept_at, data }) => {
      if (sent.has(sha256) && !isNamed(sha256)) kept.push({ sha256, kept_at, bytes: data.byteLength });
    });
    kept.sort((a, b) => b.kept_at.localeCompare(a.kept_at));
    let bytes = 0;
    const gone = kept.filter((photo) => (bytes += photo.bytes) > keepBytes).map(({ sha256 }) => sha256);
    await db.photo_blobs.bulkDelete(gone);
    return gone.length;
  });
}

/** Keeps a photo of a practice trial: on this phone and in no queue. One that is here already stays as it is. */
export async function keepPracticePhoto(photo: Omit<StoredPhoto, "kept_at">, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.photo_blobs, async () => {
    if ((await db.photo_blobs.get(photo.sha256)) === undefined) await db.photo_blobs.add({ ...photo, kept_at: now.toISOString() });
  });
}

/** Lets the photos of a practice trial go, save those that a record or another form names too. */
export async function letPracticePhotosGo(hashes: readonly string[], practiceKey: string, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.photo_blobs, db.outbox, db.drafts, async () => {
    const queued = new Set((await db.outbox.where("thing").equals("photo").toArray()).map(({ record_id }) => record_id));
    const forms = JSON.stringify((await db.drafts.toArray()).filter(({ key }) => key !== practiceKey));
    await db.photo_blobs.bulkDelete(hashes.filter((sha256) => !queued.has(sha256) && !forms.includes(sha256)));
  });
}
