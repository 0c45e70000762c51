/** When rounds happen: after a save, when a signal or the member comes back, by timer, on request. */

import { makeTransport } from "../api/transport";
import { aheadAfterMs, aheadRoomShare, afterSaveMs, firstRoundMs, keptPhotosBytes, pollMs } from "../constants";
import { db } from "../store/db";
import { readQueue } from "../store/outbox";
import { letGoOfSentPhotos } from "../store/photos";
import { heldThumbs, letThumbsGo, thumbPath } from "../store/thumbs";
import { soonestTryMs } from "./decide";
import { makeEngine, type Reason } from "./engine";
import { setFlags, StorageFull, withRoom } from "./flags";
import { leaseLock, webLock, type Lock } from "./lock";
import { makeAhead, type Fetched, type Line } from "./photos_ahead";

const sleep = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

export const lock: Lock =
  "locks" in navigator
    ? webLock(navigator.locks)
    : leaseLock(localStorage, Math.random().toString(36).slice(2), () => Date.now(), sleep);

export const transport = makeTransport((input, init) => fetch(input, init));

const engine = makeEngine({ db, transport, now: () => Date.now(), random: () => Math.random(), lock });

/** When the phone is full: small pictures go first, and photos that are on the service already. */
export const makeRoom = async (): Promise<boolean> => {
  const thumbs = await letThumbsGo();
  return (await letGoOfSentPhotos(0)) > 0 || thumbs;
};

/** Through the worker, which keeps it. Without a worker it would be fetched for nothing. */
async function fetchThumb(sha256: string): Promise<Fetched> {
  if (!navigator.onLine || !("serviceWorker" in navigator) || navigator.serviceWorker.controller === null) return { kind: "later" };
  try {
    const answer = await fetch(thumbPath(sha256), { priority: "low" });
    if (answer.status === 404) return { kind: "gone" };
    return answer.ok ? { kind: "here", bytes: (await answer.blob()).size } : { kind: "later" };
  } catch {
    return { kind: "later" };
  }
}

async function hasRoom(): Promise<boolean> {
  const { usage, quota } = (await (navigator.storage as StorageManager | undefined)?.estimate()) ?? {};
  return usage === undefined || quota === undefined || usage < quota * aheadRoomShare;
}

export const ahead = makeAhead({
  db,
  fetchThumb,
  held: heldThumbs,
  line: () => (navigator as { readonly connection?: Line }).connection,
  hasRoom,
});

let running: Promise<void> | null = null;
let wanted: Reason | null = null;
let timer: ReturnType<typeof setTimeout> | undefined;

/** How eager a reason is, when two come at once. */
const rank: readonly Reason[] = ["timer", "saved", "start", "online", "asked", "signed_in"];

async function runRounds(): Promise<void> {
  setFlags({ busy: true });
  try {
    while (wanted !== null) {
      const reason = wanted;
      wanted = null;
      await withRoom(() => engine.round(reason), makeRoom);
    }
  } catch (error) {
    // Whatever went wrong, the queue is in the store and the next round begins from it.
    if (!(error instanceof StorageFull)) reportError(error);
  } finally {
    running = null;
    setFlags({ busy: false });
    void schedule();
    setTimeout(() => void ahead.run().catch(() => undefined), aheadAfterMs);
  }
}

/** Asks for a round. Many requests at once make one round, or one more after the one that runs. */
export function nudge(reason: Reason): Promise<void> {
  if (wanted === null || rank.indexOf(reason) > rank.indexOf(wanted)) wanted = reason;
  running ??= runRounds();
  return running;
}

/** The next look: when the first waiting record is due, at the latest after the poll's time. */
async function schedule(): Promise<void> {
  clearTimeout(timer);
  const soonest = soonestTryMs(await readQueue(), Date.now());
  timer = setTimeout(() => {
    // Out of view nobody reads news; but a record that waits is worth a try even then.
    if (document.visibilityState === "visible" || soonest !== null) void nudge("timer");
    else void schedule();
  }, Math.min(pollMs, soonest ?? pollMs));
}

let saveTimer: ReturnType<typeof setTimeout> | undefined;
export function nudgeAfterSave(): void {
  clearTimeout(saveTimer);
  saveTimer = setTimeout(() => void nudge("saved"), afterSaveMs);
}

export function startSync(): void {
  setFlags({ online: navigator.onLine });
  addEventListener("online", () => {
    setFlags({ online: true });
    void nudge("online");
  });
  addEventListener("offline", () => setFlags({ online: false }));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void nudge("start");
  });
  // The first screen reads the same store; it comes first, or both come late.
  setTimeout(() => void nudge("start"), firstRoundMs);
  // Housekeeping, not urgent and not important enough to be heard about.
  setTimeout(() => void letGoOfSentPhotos(keptPhotosBytes).catch(() => undefined), pollMs);
}
