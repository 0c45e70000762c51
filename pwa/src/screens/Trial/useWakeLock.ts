import { useEffect } from "preact/hooks";

/**
 * Keeps the screen on while a trial runs, where the browser can. The lock is lost whenever the
 * app goes out of view, so it is asked for again on the way back. A refusal (low battery) is not
 * worth a word: the phone then behaves as it always does.
 */
export function useWakeLock(): void {
  useEffect(() => {
    if (!("wakeLock" in navigator)) return;
    let held: WakeLockSentinel | null = null;
    let over = false;
    const ask = (): void => {
      if (document.visibilityState !== "visible") return;
      navigator.wakeLock.request("screen").then(
        (lock) => {
          if (over) void lock.release();
          else held = lock;
        },
        () => undefined,
      );
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", ask);
      void held?.release();
    };
  }, []);
}
