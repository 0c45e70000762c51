/** The last plans of trials, so that they can be read out in a shed without a signal. Kept like the pooled grades. */
import type { Plan, PlannedTrial, PlanWish } from "../domain/plan";
import type { Purpose } from "../domain/records";
import { db as theDb, type OnePlan, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface PlanAnswer {
  readonly read_at: string;
  readonly wish: PlanWish;
  readonly answer: Plan;
  /** Keys of the lines that the dealer put in, see keyOf in domain/plan.ts. */
  readonly own: readonly string[];
  /** When the plan was proposed; read_at is when it was last weighed. */
  readonly proposed_at: string;
}

/** A plan that an earlier version of the app kept says less; what it does not say is empty. */
function filled(kept: OnePlan): PlanAnswer {
  const scale = kept.answer.scale ?? "";
  const answer: Plan = {
    ...kept.answer,
    groups: kept.answer.groups ?? 1,
    underway: kept.answer.underway ?? 0,
    left_out: kept.answer.left_out ?? [],
    trials: kept.answer.trials.map((trial): PlannedTrial => ({ ...bare, scale, ...trial })),
  };
  return { ...kept, own: kept.own ?? [], proposed_at: kept.proposed_at ?? kept.read_at, answer };
}
const bare = { links: false, settled: false, in_hands: false, why: [] as readonly string[] };

const keyOf = (purpose: Purpose, stoneId: string | null): string => (stoneId === null ? purpose : `${purpose} ${stoneId}`);

/** The last plan for a purpose; with a stone, the one for that stone alone. */
export async function readPlan(purpose: Purpose, stoneId: string | null, db: WhetpanelDb = theDb): Promise<PlanAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("plan")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  const answer = kept.answers[keyOf(purpose, stoneId)];
  return answer === undefined ? null : filled(answer);
}

/** Of plans for one stone alone only the last is kept; they are soon asked for again. `proposed_at` null: it is new. */
export async function keepPlan(
  { wish, answer, own, proposed_at }: Omit<PlanAnswer, "read_at" | "proposed_at"> & { readonly proposed_at: string | null }, now: Date, db: WhetpanelDb = theDb,
): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("plan")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const earlier = Object.entries(kept?.whose === whose ? kept.answers : {});
    const stay = earlier.filter(([, one]) => wish.stone_id === null || one.wish.stone_id === null);
    const answers = { ...Object.fromEntries(stay), [keyOf(answer.purpose, wish.stone_id)]: { read_at: now.toISOString(), wish, answer, own, proposed_at: proposed_at ?? now.toISOString() } };
    await db.keep("plan", { whose, answers });
  });
}
