/** Asks for pooled grades and one's own calibration, and keeps the answers, so that they can be shown again without a signal. */
import { changed, keyOf, requestOf, reweighed, type PlanWish, type Who } from "../domain/plan";
import type { Purpose } from "../domain/records";
import { keepCalibration } from "../store/calibration";
import { keepPlan, type PlanAnswer } from "../store/plan";
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
  if (view.kind === "here") await keepPlan({ wish, answer: view.value, own: [], proposed_at: null }, new Date());
  return view.kind;
}

/**
 * Puts a line of the kept plan in another's place, or leaves it out, and has the rest weighed anew. The change is kept
 * whatever comes of the asking; without an answer the new line stands there without figures.
 *
 * @param asked whether somebody has been asked for a line already, or has done it: such lines are out of the dealer's hands
 */
export async function changePlan(
  kept: PlanAnswer, line: Who, to: Who | null, testers: readonly string[], asked: (line: Who) => boolean,
): Promise<Asked> {
  const { purpose } = kept.answer;
  const drafted = changed(kept.answer, line, to);
  const there = new Set(drafted.trials.map(keyOf));
  const own = [...kept.own, ...(to === null ? [] : [keyOf(to)])].filter((key) => there.has(key));
  const { wish, proposed_at } = kept;
  await keepPlan({ wish, answer: drafted, own, proposed_at }, new Date(kept.read_at));
  const open = drafted.trials.filter((trial) => !asked(trial));
  if (open.length === 0) return "here";
  const view = await readPlan(requestOf(purpose, wish, testers, open));
  if (view.kind !== "here") return view.kind;
  await keepPlan({ wish, answer: reweighed(drafted, view.value), own, proposed_at }, new Date());
  return "here";
}

export async function askCalibration(purpose: Purpose): Promise<Asked> {
  const view = await readCalibration(purpose);
  if (view.kind === "here") await keepCalibration(view.value, new Date());
  return view.kind;
}
