/** The little that is known only in this tab: whether a round runs, and whether the phone's storage is full. */

import { useEffect, useState } from "preact/hooks";

export interface Flags {
  readonly busy: boolean;
  readonly storageFull: boolean;
  /** The browser's word on the network; only "no" can be believed. */
  readonly online: boolean;
}

let flags: Flags = { busy: false, storageFull: false, online: true };
const listeners = new Set<(flags: Flags) => void>();

export function setFlags(change: Partial<Flags>): void {
  flags = { ...flags, ...change };
  for (const listener of listeners) listener(flags);
}

export const readFlags = (): Flags => flags;

export function useFlags(): Flags {
  const [seen, setSeen] = useState(flags);
  useEffect(() => {
    setSeen(flags);
    listeners.add(setSeen);
    return () => void listeners.delete(setSeen);
  }, []);
  return seen;
}

/** A write that failed because the phone has no room left, however deep the database wrapped the news. */
export function isStorageFull(error: unknown): boolean {
  for (let at: unknown = error, depth = 0; at instanceof Object && depth < 5; depth += 1) {
    if ("name" in at && at.name === "QuotaExceededError") return true;
    at = "inner" in at ? at.inner : undefined;
  }
  return false;
}

export class StorageFull extends Error {
  constructor() {
    super("This phone has no room left, so nothing was saved. What you typed is still on the screen.");
    this.name = "StorageFull";
  }
}

/**
 * Runs a local write. When the phone is full, `makeRoom` may let something go that can be fetched again (it answers
 * whether it did), and the write is tried once more. If that is not enough, fullness becomes a visible state and a
 * StorageFull for the screen to show.
 */
export async function withRoom<T>(write: () => Promise<T>, makeRoom: () => Promise<boolean> = () => Promise.resolve(false)): Promise<T> {
  try {
    const result = await write();
    if (flags.storageFull) setFlags({ storageFull: false });
    return result;
  } catch (error) {
    if (!isStorageFull(error)) throw error;
    // Letting go may fail as well; then there is no room, and that is what has to be said.
    if (await makeRoom().catch(() => false)) return withRoom(write);
    setFlags({ storageFull: true });
    throw new StorageFull();
  }
}
