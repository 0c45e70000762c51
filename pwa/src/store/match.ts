/** What a wish is made of and the last answer to one, so that a dealer without a signal still sees them, with their age. */
import type { Found, Steels } from "../domain/match";
import type { MatchWish } from "../domain/records";
import { db as theDb, type KeptMatch, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

const nothing = { steels: null, last: null };

export async function readMatch(db: WhetpanelDb = theDb): Promise<Omit<KeptMatch, "whose">> {
  const [session, kept] = [await db.note("session"), await db.note("match")];
  if (session === null || kept?.whose !== catalogueOf(session)) return nothing;
  return { steels: kept.steels, last: kept.last };
}

async function keep(change: Partial<Omit<KeptMatch, "whose">>, db: WhetpanelDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("match")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const before = kept?.whose === whose ? kept : nothing;
    await db.keep("match", { whose, steels: before.steels, last: before.last, ...change });
  });
}

export const keepSteels = (steels: Steels, db: WhetpanelDb = theDb): Promise<void> => keep({ steels }, db);

export const keepFound = (wish: MatchWish, answer: Found, now: Date, db: WhetpanelDb = theDb): Promise<void> =>
  keep({ last: { read_at: now.toISOString(), wish, answer } }, db);
