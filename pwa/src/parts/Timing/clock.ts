/** Elapsed time from stored moments, so that a timer goes on while the app is shut. */

/** Whole seconds since `startedAtMs`; never negative, whatever the device's clock did meanwhile. */
export function elapsedS(startedAtMs: number, nowMs: number): number {
  return Math.max(0, Math.floor((nowMs - startedAtMs) / 1000));
}

/** Seconds still to go of a period of `lengthS`; 0 once it is over. */
export function leftS(startedAtMs: number, lengthS: number, nowMs: number): number {
  return Math.max(0, Math.ceil(lengthS - (nowMs - startedAtMs) / 1000));
}

/** 5 → "0:05", 75 → "1:15", 3725 → "62:05": minutes are not folded into hours at a bench. */
export function clockText(seconds: number): string {
  const s = Math.max(0, Math.round(seconds));
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
}

/**
 * Whether a touch counts as a new stroke. A wet knuckle bounces: a second contact within
 * `bounceMs` of the last is the same knock. Nobody strokes a blade six times a second.
 */
export const bounceMs = 160;
export function isNewStroke(lastMs: number | null, nowMs: number): boolean {
  return lastMs === null || nowMs - lastMs >= bounceMs || nowMs < lastMs;
}
