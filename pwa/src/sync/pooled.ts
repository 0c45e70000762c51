/** Asks for pooled grades and one's own calibration, and keeps the answers, so that they can be shown again without a signal. */
import type { Purpose } from "../domain/records";
import { keepCalibration } from "../store/calibration";
import { keepPooled } from "../store/pooled";
import { readCalibration, readPooled, type View } from "./views";

export type Asked = View<unknown>["kind"];

export async function askPooled(purpose: Purpose): Promise<Asked> {
  const view = await readPooled(purpose);
  if (view.kind === "here") await keepPooled(view.value, new Date());
  return view.kind;
}

export async function askCalibration(purpose: Purpose): Promise<Asked> {
  const view = await readCalibration(purpose);
  if (view.kind === "here") await keepCalibration(view.value, new Date());
  return view.kind;
}
