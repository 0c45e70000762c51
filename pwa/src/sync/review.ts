/** Asks for the account of one stone's grades, and what they would be without a trial (dealer, steward). */
import { planTimeoutMs } from "../constants";
import type { Pooled } from "../domain/pooled";
import type { Purpose } from "../domain/records";
import type { Review } from "../domain/review";
import { keepReview } from "../store/review";
import { transport } from "./loop";
import type { Asked } from "./pooled";
import { viewOf, type View } from "./views";

/** The review of a stone; the last ones are kept. */
export async function askReview(stoneId: string, purpose: Purpose): Promise<Asked> {
  const view = viewOf<Review>(await transport({ method: "GET", path: `/stones/${stoneId}/review?purpose=${purpose}` }));
  if (view.kind === "here") await keepReview(view.value, new Date());
  return view.kind;
}

/** The stone's pooled grades as they would be with a trial left out, or taken back in. Nothing is stored there. */
export async function readWhatIf(
  stoneId: string, purpose: Purpose, trialId: string, act: "exclude" | "include",
): Promise<View<Pooled>> {
  const json = { purpose, stone_id: stoneId, [act === "exclude" ? "exclude_trials" : "include_trials"]: [trialId] };
  return viewOf<Pooled>(await transport({ method: "POST", path: "/pooled/what-if", json, timeoutMs: planTimeoutMs }));
}
