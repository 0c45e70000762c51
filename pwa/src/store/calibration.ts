/** The last answers on the member's own calibration, kept like the pooled ones and for the same reason. */
import type { CalibratedTester, Calibration } from "../domain/calibration";
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
  const one = kept.answers[purpose];
  return one === undefined ? null : { ...one, answer: filled(one.answer) };
}

/** An answer that an earlier version of the app kept knows no record on check stones. */
const filled = (answer: Calibration): Calibration => ({
  ...answer,
  scales: answer.scales.map((scale) => ({
    ...scale,
    testers: scale.testers.map((tester): CalibratedTester => ({ ...({ drift_note: "", check_record: [], check_level: "too_few" } as const), ...tester })),
  })),
});

export async function keepCalibration(answer: Calibration, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("calibration")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const others = kept?.whose === whose ? kept.answers : {};
    await db.keep("calibration", { whose, answers: { ...others, [answer.purpose]: { read_at: now.toISOString(), answer } } });
  });
}
