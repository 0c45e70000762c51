/** The last plans of trials, so that they can be read out in a shed without a signal. Kept like the pooled grades. */
import type { Plan, PlanWish } from "../domain/plan";
import type { Purpose } from "../domain/records";
import { db as theDb, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface PlanAnswer {
  readonly read_at: string;
  readonly wish: PlanWish;
  readonly answer: Plan;
}

export async function readPlan(purpose: Purpose, db: WhetpanelDb = theDb): Promise<PlanAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("plan")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[purpose] ?? null;
}

export async function keepPlan(wish: PlanWish, answer: Plan, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("plan")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const others = kept?.whose === whose ? kept.answers : {};
    await db.keep("plan", { whose, answers: { ...others, [answer.purpose]: { read_at: now.toISOString(), wish, answer } } });
  });
}
