/** The last answers on the member's own calibration, kept like the pooled ones and for the same reason. */
import type { Calibration } from "../domain/calibration";
import type { Purpose } from "../domain/records";
import { db as theDb, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface CalibrationAnswer {
  readonly read_at: string;
  readonly answer: Calibration;
}

export async function readCalibration(purpose: Purpose, db: WhetpanelDb = theDb): Promise<CalibrationAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("calibration")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[purpose] ?? null;
}

export async function keepCalibration(answer: Calibration, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("calibration")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const others = kept?.whose === whose ? kept.answers : {};
    await db.keep("calibration", { whose, answers: { ...others, [answer.purpose]: { read_at: now.toISOString(), answer } } });
  });
}
