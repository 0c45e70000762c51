/** Asks the service for pooled grades. They are computed there, from everybody's trials, so only on line. */
import type { Pooled } from "../domain/pooled";
import type { Purpose } from "../domain/records";
import { keepPooled } from "../store/pooled";
import { transport } from "./loop";

export type Asked = "answered" | "no_network" | "server_trouble" | "signed_out" | "refused";

/** Fetches and keeps the answer; screens read it from the store. */
export async function askPooled(purpose: Purpose): Promise<Asked> {
  const answer = await transport({ method: "GET", path: `/pooled?purpose=${encodeURIComponent(purpose)}` });
  switch (answer.kind) {
    case "done":
      await keepPooled(answer.body as Pooled, new Date());
      return "answered";
    case "signed_out": return "signed_out";
    case "refused": return "refused";
    case "troubled": return "server_trouble";
    case "unreachable": return "no_network";
  }
}
