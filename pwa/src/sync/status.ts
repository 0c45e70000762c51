/** How sync stands, for screens: one line of facts, kept up to date. The words are the screens'. */

import { useLive } from "../store/live";
import { db, type QueueEntry, type Session, type Trouble } from "../store/db";
import { readQueue } from "../store/outbox";
import { useFlags } from "./flags";

export interface SyncStatus {
  readonly session: Session | null;
  /** Records (photos apart) that go by themselves when they can. */
  readonly waiting: number;
  readonly waitingPhotos: number;
  /** Records and photos that only the member can help. */
  readonly needsYou: number;
  readonly setAside: number;
  /** A round is running in this tab. */
  readonly busy: boolean;
  readonly online: boolean;
  readonly storageFull: boolean;
  readonly trouble: Trouble | null;
  /** When the local copy was last complete, by this device's clock. */
  readonly pulledAt: Date | null;
  /** The service asked for patience until then. */
  readonly pausedUntil: Date | null;
}

const count = (queue: readonly QueueEntry[], wanted: (entry: QueueEntry) => boolean): number => queue.filter(wanted).length;
const goes = (entry: QueueEntry): boolean => entry.state === "waiting" || entry.state === "sending";

async function readStatus() {
  const [session, notes, queue] = [await db.note("session"), await db.note("sync"), await readQueue()];
  return {
    session,
    waiting: count(queue, (entry) => goes(entry) && entry.act !== "photo"),
    waitingPhotos: count(queue, (entry) => goes(entry) && entry.act === "photo"),
    needsYou: count(queue, (entry) => entry.state === "needs_you"),
    setAside: count(queue, (entry) => entry.state === "set_aside"),
    trouble: notes?.trouble ?? null,
    pulledAt: notes?.pulled_at == null ? null : new Date(notes.pulled_at),
    pausedUntil: notes?.paused_until == null ? null : new Date(notes.paused_until),
  };
}

/** `undefined` until the store has answered for the first time. */
export function useSyncStatus(): SyncStatus | undefined {
  const flags = useFlags();
  const stored = useLive(readStatus, []);
  return stored === undefined ? undefined : { ...stored, ...flags };
}
