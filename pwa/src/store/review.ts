/** The last stones reviewed, so that a dealer can go on reading without a signal. Kept like the pooled grades. */
import type { Purpose } from "../domain/records";
import type { Review } from "../domain/review";
import { db as theDb, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface ReviewAnswer {
  readonly read_at: string;
  readonly answer: Review;
}

/** So many stay; a dealer reviews a lot in an evening, and each is some ten kilobytes. */
const kept_most = 40;

const keyOf = (stoneId: string, purpose: Purpose): string => `${stoneId} ${purpose}`;

export async function readReview(stoneId: string, purpose: Purpose, db: WhetpanelDb = theDb): Promise<ReviewAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("review")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[keyOf(stoneId, purpose)] ?? null;
}

export async function keepReview(answer: Review, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("review")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const key = keyOf(answer.stone_id, answer.purpose);
    const others = Object.entries(kept?.whose === whose ? kept.answers : {})
      .filter(([other]) => other !== key)
      .sort(([, a], [, b]) => b.read_at.localeCompare(a.read_at))
      .slice(0, kept_most - 1);
    await db.keep("review", { whose, answers: { ...Object.fromEntries(others), [key]: { read_at: now.toISOString(), answer } } });
  });
}
