/** Asks for pooled grades and one's own calibration, and keeps the answers, so that they can be shown again without a signal. */
import { requestOf, type PlanWish } from "../domain/plan";
import type { Purpose } from "../domain/records";
import { keepCalibration } from "../store/calibration";
import { keepPlan } from "../store/plan";
import { keepPooled } from "../store/pooled";
import { readCalibration, readPlan, readPooled, type View } from "./views";

export type Asked = View<unknown>["kind"];

export async function askPooled(purpose: Purpose): Promise<Asked> {
  const view = await readPooled(purpose);
  if (view.kind === "here") await keepPooled(view.value, new Date());
  return view.kind;
}

/** A plan of trials; the last one of each purpose is kept. */
export async function askPlan(purpose: Purpose, wish: PlanWish, testers: readonly string[]): Promise<Asked> {
  const view = await readPlan(requestOf(purpose, wish, testers));
  if (view.kind === "here") await keepPlan(wish, view.value, new Date());
  return view.kind;
}

export async function askCalibration(purpose: Purpose): Promise<Asked> {
  const view = await readCalibration(purpose);
  if (view.kind === "here") await keepCalibration(view.value, new Date());
  return view.kind;
}
