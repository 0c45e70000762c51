/** Which hint stands over the step at hand. Pure. */

import { practice as say } from "../../words/practice";
import { askedAt, stepsOf, type TrialDraft } from "../Trial/draft";

export function tipAt({ protocol, at }: Pick<TrialDraft, "protocol" | "at">): string {
  if (protocol === null || at === null) return say.tips.setup;
  const step = stepsOf(protocol, false).find(({ id }) => id === at);
  if (step === undefined) return say.tips.review;
  const { observations, scales } = askedAt(step, protocol);
  if (scales.length > 0) return say.tips.grade;
  if (step.counter !== null) return say.tips.count;
  if (observations.some(({ unit }) => unit === "s")) return say.tips.time;
  return observations.length > 0 ? say.tips.choose : say.tips.read;
}
