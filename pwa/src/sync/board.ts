/** Asks where the stones stand, and keeps the answer, so that it can be shown again without a signal. */
import { pooledTimeoutMs } from "../constants";
import type { Board } from "../domain/board";
import type { Purpose } from "../domain/records";
import { keepBoard } from "../store/board";
import { transport } from "./loop";
import type { Asked } from "./pooled";
import { viewOf } from "./views";

export async function askBoard(purpose: Purpose): Promise<Asked> {
  const view = viewOf<Board>(await transport({ method: "GET", path: `/board?purpose=${purpose}`, timeoutMs: pooledTimeoutMs }));
  if (view.kind === "here") await keepBoard(view.value, new Date());
  return view.kind;
}
