/** Only one tab at a time talks to the service for the queue. */

import { syncLeaseKey, syncLeaseMs, syncLockName } from "../constants";

/** Runs `work` while nobody else does; waits its turn. */
export type Lock = <T>(work: () => Promise<T>) => Promise<T>;

/** For tests and for pages that are alone. */
export const noLock: Lock = (work) => work();

/**
 * Web Locks: released by the browser when the tab dies, so a crash never leaves the queue locked. One waits
 * instead of giving up, because what the other tab is sending may not include what was just saved here.
 */
export const webLock = (locks: LockManager): Lock => async (work) => locks.request(syncLockName, async () => work());

interface LeaseStorage {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

/**
 * Where Web Locks are missing: a lease in localStorage that its holder renews and that runs out. Two tabs may
 * both think they hold it for a moment. That costs a request, not a record: every write may be sent twice.
 */
export function leaseLock(storage: LeaseStorage, name: string, now: () => number, sleep: (ms: number) => Promise<void>): Lock {
  const heldByOther = (): boolean => {
    const [holder, until] = (storage.getItem(syncLeaseKey) ?? "").split(" ");
    const left = Number(until) - now();
    // A lease longer than any lease lasts was written before the clock was set back.
    return holder !== name && left > 0 && left <= syncLeaseMs;
  };
  const renew = (): void => storage.setItem(syncLeaseKey, `${name} ${now() + syncLeaseMs}`);

  return async (work) => {
    while (heldByOther()) await sleep(1000);
    renew();
    const renewal = setInterval(renew, syncLeaseMs / 3);
    try {
      return await work();
    } finally {
      clearInterval(renewal);
      if (!heldByOther()) storage.removeItem(syncLeaseKey);
    }
  };
}
