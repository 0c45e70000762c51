/** Asks what a wish is made of, and which stones meet one; both answers are kept. Nothing is stored by the service. */
import { planTimeoutMs } from "../constants";
import type { Found, Steels } from "../domain/match";
import type { MatchWish } from "../domain/records";
import { keepFound, keepSteels } from "../store/match";
import { transport } from "./loop";
import { viewOf, type View } from "./views";

/** How an asking went, with the service's words where it refused. */
export type Answered = Pick<View<unknown>, "kind"> & { readonly detail: string };

export async function askSteels(): Promise<Answered> {
  const view = viewOf<Steels>(await transport({ method: "GET", path: "/steels" }));
  if (view.kind !== "here") return view;
  await keepSteels(view.value);
  return { kind: "here", detail: "" };
}

export async function askMatch(wish: MatchWish): Promise<Answered> {
  const answer = await transport({ method: "POST", path: "/match", json: wish, timeoutMs: planTimeoutMs });
  const view = viewOf<Found>(answer);
  if (view.kind !== "here") return view;
  await keepFound(wish, view.value, new Date());
  return { kind: "here", detail: "" };
}
