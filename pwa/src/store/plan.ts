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

const keyOf = (purpose: Purpose, stoneId: string | null): string => (stoneId === null ? purpose : `${purpose} ${stoneId}`);

/** The last plan for a purpose; with a stone, the one for that stone alone. */
export async function readPlan(purpose: Purpose, stoneId: string | null, db: WhetpanelDb = theDb): Promise<PlanAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("plan")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[keyOf(purpose, stoneId)] ?? null;
}

/** Of plans for one stone alone only the last is kept; they are soon asked for again. */
export async function keepPlan(wish: PlanWish, answer: Plan, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("plan")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const earlier = Object.entries(kept?.whose === whose ? kept.answers : {});
    const stay = earlier.filter(([, one]) => wish.stone_id === null || one.wish.stone_id === null);
    const answers = { ...Object.fromEntries(stay), [keyOf(answer.purpose, wish.stone_id)]: { read_at: now.toISOString(), wish, answer } };
    await db.keep("plan", { whose, answers });
  });
}
