/**
 * The last pooled answers, so that a dealer without a signal still sees the grades, with their age.
 *
 * They are other people's grades. So they are kept with whose they are, and shown to nobody else who
 * signs in on this phone; the first answer for somebody else replaces them all.
 */
import type { Pooled } from "../domain/pooled";
import type { Purpose } from "../domain/records";
import { db as theDb, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface PooledAnswer {
  readonly read_at: string;
  readonly answer: Pooled;
}

export async function readPooled(purpose: Purpose, db: WhetpanelDb = theDb): Promise<PooledAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("pooled")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[purpose] ?? null;
}

export async function keepPooled(answer: Pooled, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("pooled")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const others = kept?.whose === whose ? kept.answers : {};
    await db.keep("pooled", { whose, answers: { ...others, [answer.purpose]: { read_at: now.toISOString(), answer } } });
  });
}
