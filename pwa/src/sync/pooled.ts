/** Asks for pooled grades and keeps the answer, so that it can be shown again without a signal. */
import type { Purpose } from "../domain/records";
import { keepPooled } from "../store/pooled";
import { readPooled, type View } from "./views";

export type Asked = View<unknown>["kind"];

export async function askPooled(purpose: Purpose): Promise<Asked> {
  const view = await readPooled(purpose);
  if (view.kind === "here") await keepPooled(view.value, new Date());
  return view.kind;
}
