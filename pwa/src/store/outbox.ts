/**
 * The queue of records that wait for the service. Every change of it is one transaction that reads the entry
 * again, because another tab may have touched it meanwhile. Nothing here talks to the network.
 */

import { pathOf, type Thing } from "../domain/records";
import { db as theDb, tableOf, type Owner, type QueueEntry, type Session, type WhetpanelDb } from "./db";

export class NobodySignedIn extends Error {
  constructor() {
    super("Nobody is signed in on this phone, so a record would belong to nobody. Sign in first.");
    this.name = "NobodySignedIn";
  }
}

export const ownerOf = (session: Session): Owner => ({
  member_id: session.member.id,
  member_name: session.member.display_name,
  club_id: session.club.id,
});

const isOwn = (entry: QueueEntry, owner: Owner): boolean =>
  entry.member_id === owner.member_id && entry.club_id === owner.club_id;

async function requireOwner(db: WhetpanelDb): Promise<Owner> {
  const session = await db.note("session");
  if (session === null) throw new NobodySignedIn();
  return ownerOf(session);
}

/** Everything of one owner, in order of saving, also what was set aside. */
export async function entriesOf(db: WhetpanelDb, owner: Owner): Promise<QueueEntry[]> {
  return (await db.outbox.orderBy("sequence").toArray()).filter((entry) => isOwn(entry, owner));
}

/** The signed-in member's own queue, for screens. */
export async function readQueue(db: WhetpanelDb = theDb): Promise<QueueEntry[]> {
  return db.transaction("r", db.outbox, db.meta, async () => {
    const session = await db.note("session");
    return session === null ? [] : entriesOf(db, ownerOf(session));
  });
}

/** Names of other members whose records still wait on this phone, with how many. */
export async function readOthersWaiting(db: WhetpanelDb = theDb): Promise<{ readonly name: string; readonly count: number }[]> {
  const session = await db.note("session");
  const counts = new Map<string, number>();
  for (const entry of await db.outbox.toArray()) {
    const own = session !== null && isOwn(entry, ownerOf(session));
    if (!own && entry.state !== "set_aside") counts.set(entry.member_name, (counts.get(entry.member_name) ?? 0) + 1);
  }
  return [...counts].map(([name, count]) => ({ name, count }));
}

/** Two editions of a record must be told apart even if the clock did not move between them. */
function laterThan(previous: string | undefined, now: Date): string {
  const least = previous === undefined ? 0 : Date.parse(previous) + 1;
  return new Date(Math.max(now.getTime(), least)).toISOString();
}

export interface NewWrite {
  readonly thing: Thing;
  readonly record_id: string;
  readonly act: QueueEntry["act"];
  readonly body: Readonly<Record<string, unknown>> | null;
  readonly base: number | null;
  /**
   * recorded_at of the own edition that this edit was made on. It may have waited here when the edit was begun, and
   * have gone out since: then the service holds it under a version that the edit does not know.
   */
  readonly made_on?: string | null;
}

const pathOfWrite = (write: NewWrite): string =>
  write.act === "put" || write.act === "photo"
    ? pathOf(write.thing, write.record_id)
    : `${pathOf(write.thing, write.record_id)}/${write.act}`;

const newEntry = ({ made_on, ...write }: NewWrite, owner: Owner, now: Date): QueueEntry => ({
  ...owner,
  ...write,
  path: pathOfWrite(write),
  edition: 1,
  recorded_at: laterThan(undefined, now),
  tried: made_on == null ? [] : [made_on],
  state: "waiting",
  attempts: 0,
  tried_at: null,
  next_try_at: null,
  problem: null,
  theirs: null,
});

async function addEntry(write: NewWrite, owner: Owner, now: Date, db: WhetpanelDb): Promise<void> {
  await db.outbox.add(newEntry(write, owner, now));
}

/**
 * Puts a write into the queue. A write to a path that already waits replaces its body in place and keeps the
 * version it started from; what went out earlier without an answer stays noted in `tried`.
 */
export async function enqueue(write: NewWrite, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  const owner = await requireOwner(db);
  const path = pathOfWrite(write);
  const present = (await db.outbox.where("path").equals(path).toArray()).find(
    (entry) => isOwn(entry, owner) && entry.state !== "set_aside",
  );
  if (present === undefined) return addEntry(write, owner, now, db);
  if (write.act === "photo") return; // The same bytes; there is nothing newer to send.
  // While two versions stand against each other, an edit does not decide between them unless it says that it
  // was made on top of theirs.
  const theirVersion = versionOf(present.theirs);
  const settled = theirVersion === null || write.base === theirVersion;
  await db.outbox.put({
    ...present,
    body: write.body,
    base: theirVersion !== null && settled ? theirVersion : present.base,
    edition: present.edition + 1,
    recorded_at: laterThan(present.recorded_at, now),
    state: present.state === "needs_you" && settled ? "waiting" : present.state,
    attempts: settled ? 0 : present.attempts,
    next_try_at: settled ? null : present.next_try_at,
    problem: settled ? null : present.problem,
    theirs: settled ? null : present.theirs,
  });
}

export const versionOf = (record: Readonly<Record<string, unknown>> | null): number | null =>
  typeof record?.["version"] === "number" ? record["version"] : null;

/** Saves a record and lets its draft go, both or neither. */
export async function saveToQueue(
  write: Omit<NewWrite, "act">,
  draftKey: string | null,
  now: Date,
  db: WhetpanelDb = theDb,
): Promise<void> {
  await db.transaction("rw", db.outbox, db.drafts, db.meta, async () => {
    await enqueue({ ...write, act: "put" }, now, db);
    if (draftKey !== null) await db.drafts.delete([(await requireOwner(db)).member_id, draftKey]);
  });
}

/**
 * Saves many records and leaves of the draft, if they come from one, what is not among them, all or nothing. They are sent in the order given,
 * so what others refer to comes first. New records go in at one stroke: asking for each whether it waits already
 * would take minutes for a large lot.
 */
export async function saveAllToQueue(
  writes: readonly Omit<NewWrite, "act">[],
  draft: { readonly key: string; readonly left: Readonly<Record<string, unknown>> | null } | null,
  now: Date,
  db: WhetpanelDb = theDb,
): Promise<void> {
  await db.transaction("rw", db.outbox, db.drafts, db.meta, async () => {
    const owner = await requireOwner(db);
    const paths = writes.map((write) => pathOfWrite({ ...write, act: "put" }));
    const present = new Set((await db.outbox.where("path").anyOf(paths).toArray()).map((entry) => entry.path));
    const isPresent = (_: unknown, i: number): boolean => present.has(paths[i] ?? "");
    const fresh = writes.filter((write, i) => !isPresent(write, i));
    await db.outbox.bulkAdd(fresh.map((write) => newEntry({ ...write, act: "put" }, owner, now)));
    for (const write of writes.filter(isPresent)) await enqueue({ ...write, act: "put" }, now, db);
    if (draft === null) return;
    const held = await db.drafts.get([owner.member_id, draft.key]);
    if (held === undefined) return;
    if (draft.left === null) await db.drafts.delete([owner.member_id, draft.key]);
    else await db.drafts.put({ ...held, values: draft.left, touched_at: now.toISOString() });
  });
}

/** Keeps a photo's bytes and queues it for sending, both or neither. Twice is harmless. */
export async function savePhotoToQueue(
  photo: { readonly sha256: string; readonly data: ArrayBuffer; readonly media_type: string },
  now: Date,
  db: WhetpanelDb = theDb,
): Promise<void> {
  await db.transaction("rw", db.outbox, db.photo_blobs, db.photos, db.meta, async () => {
    await db.photo_blobs.put({ ...photo, kept_at: now.toISOString() });
    const known = await db.photos.filter(({ sha256 }) => sha256 === photo.sha256).first();
    if (known === undefined) {
      await enqueue({ thing: "photo", record_id: photo.sha256, act: "photo", body: null, base: null }, now, db);
    }
  });
}

type Change = (entry: QueueEntry) => Partial<QueueEntry> | "remove" | "leave";

/** Changes one entry as it stands now; answers whether it did: not if it is gone or to be left. */
export async function changeEntry(db: WhetpanelDb, sequence: number, change: Change): Promise<boolean> {
  return db.transaction("rw", db.outbox, async () => {
    const entry = await db.outbox.get(sequence);
    if (entry === undefined) return false;
    const next = change(entry);
    if (next === "remove") await db.outbox.delete(sequence);
    else if (next !== "leave") await db.outbox.put({ ...entry, ...next });
    return next !== "leave";
  });
}

/** What an entry may turn into when it was sent and the service has answered. */
export interface Settlement {
  /** The service's record, if it gave one; it goes into the catalogue in the same transaction. */
  readonly record: (Readonly<Record<string, unknown>> & { readonly id: string; readonly revision: number }) | null;
  readonly change: Change;
}

export async function settleEntry(db: WhetpanelDb, sequence: number, thing: Thing, settlement: Settlement): Promise<void> {
  const table = tableOf(db, thing);
  await db.transaction("rw", db.outbox, table, async () => {
    await changeEntry(db, sequence, settlement.change);
    if (settlement.record !== null) {
      const held = await table.get(settlement.record.id);
      // A page of changes may have brought something newer while the answer was on its way.
      if (held === undefined || held.revision <= settlement.record.revision) await table.put(settlement.record as never);
    }
  });
}

/** Whoever begins to send is alone in doing so; an entry still marked as being sent was cut off. */
export async function resumeCutOff(db: WhetpanelDb, owner: Owner): Promise<void> {
  await db.outbox
    .where("state")
    .equals("sending")
    .and((entry) => isOwn(entry, owner))
    .modify({ state: "waiting" });
}

/** Lets everything that waits be tried now, for instance because a signal came back. */
export async function tryNow(db: WhetpanelDb, owner: Owner): Promise<void> {
  await db.outbox
    .where("state")
    .equals("waiting")
    .and((entry) => isOwn(entry, owner))
    .modify({ next_try_at: null });
}

/** Sets an entry aside: it is not sent any more, but it is kept, seen and can be put back. */
export async function setEntryAside(db: WhetpanelDb, sequence: number): Promise<void> {
  await changeEntry(db, sequence, (entry) => (entry.state === "sending" ? "leave" : { state: "set_aside" }));
}

/** Puts an entry back into the queue. What waits for the same record is set aside in its place. */
export async function putEntryBack(db: WhetpanelDb, sequence: number): Promise<void> {
  await db.transaction("rw", db.outbox, async () => {
    const entry = await db.outbox.get(sequence);
    if (entry?.state !== "set_aside") return;
    const rivals = (await db.outbox.where("path").equals(entry.path).toArray()).filter(
      (other) => isOwn(other, entry) && other.state !== "set_aside",
    );
    if (rivals.some((rival) => rival.state === "sending")) return;
    for (const rival of rivals) await db.outbox.put({ ...rival, state: "set_aside" });
    await db.outbox.put({ ...entry, state: "waiting", attempts: 0, next_try_at: null, problem: null, theirs: null });
  });
}

/** Gives up the member's version of an entry for the service's; the given-up one is set aside, not deleted. */
export async function yieldToTheirs(db: WhetpanelDb, sequence: number): Promise<void> {
  const entry = await db.outbox.get(sequence);
  if (entry === undefined) return;
  const table = tableOf(db, entry.thing);
  await db.transaction("rw", db.outbox, table, async () => {
    const now = await db.outbox.get(sequence);
    if (now?.state !== "needs_you") return;
    if (now.theirs !== null) {
      const held = await table.get(now.record_id);
      if (held === undefined || held.version <= (versionOf(now.theirs) ?? 0)) await table.put(now.theirs as never);
    }
    await db.outbox.put({ ...now, state: "set_aside" });
  });
}

/**
 * Queues leaving a trial out, or taking it back in. The latest word counts, so one that has not gone out yet is
 * replaced; one that may have arrived stays in front, and the new one follows it.
 */
export async function excludeInQueue(id: string, reason: string | null, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.outbox, db.meta, async () => {
    const owner = await requireOwner(db);
    const earlier = (await db.outbox.where("record_id").equals(id).toArray()).filter(
      (entry) => isOwn(entry, owner) && (entry.act === "exclude" || entry.act === "include"),
    );
    for (const entry of earlier) {
      if (entry.tried.length === 0 && entry.sequence !== undefined) await db.outbox.delete(entry.sequence);
    }
    const act = reason === null ? "include" : "exclude";
    const body = reason === null ? null : { reason };
    await addEntry({ thing: "trial", record_id: id, act, body, base: null }, owner, now, db);
  });
}

/**
 * Withdraws a record. An edit of it that waits for its writer is set aside, since it would hold the withdrawal
 * up for ever; a record the service cannot have is set aside and nothing is sent.
 */
export async function withdrawInQueue(thing: Thing, id: string, reason: string, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  const table = tableOf(db, thing);
  await db.transaction("rw", db.outbox, table, db.meta, async () => {
    const owner = await requireOwner(db);
    const served = (await table.get(id)) !== undefined;
    const waiting = (await db.outbox.where("record_id").equals(id).toArray()).filter(
      (entry) => isOwn(entry, owner) && entry.act === "put" && entry.state !== "set_aside",
    );
    const [put] = waiting;
    const neverArrived = !served && put !== undefined && put.base === null && put.tried.length === 0 && put.theirs === null;
    if (put?.state === "needs_you" || neverArrived) await db.outbox.put({ ...put, state: "set_aside" });
    if (!neverArrived) await enqueue({ thing, record_id: id, act: "withdraw", body: { reason }, base: null }, now, db);
  });
}
