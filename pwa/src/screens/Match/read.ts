import type { Purpose, Stone } from "../../domain/records";
import { readAll, readSession, type Seen } from "../../store/catalogue";
import { mayDeal, type KeptMatch } from "../../store/db";
import { readMatch } from "../../store/match";

export interface MatchView extends Omit<KeptMatch, "whose"> {
  readonly mayDeal: boolean;
  readonly purposes: readonly Purpose[];
  readonly stones: ReadonlyMap<string, Stone>;
  readonly lists: readonly Seen<"shortlist">[];
  /** What most prices are in. */
  readonly currency: string;
}

export async function readMatchView(): Promise<MatchView> {
  const [session, kept, protocols, stones, lists, offers] = await Promise.all([
    readSession(), readMatch(), readAll("protocol"), readAll("stone"), readAll("shortlist", { withdrawn: true }), readAll("offer"),
  ]);
  const counts = new Map<string, number>();
  for (const { record } of offers) if (record.price !== null) counts.set(record.currency, (counts.get(record.currency) ?? 0) + 1);
  const [most] = [...counts].sort(([, a], [, b]) => b - a);
  return {
    ...kept,
    mayDeal: mayDeal(session),
    purposes: [...new Set(protocols.filter(({ record }) => record.withdrawn === null).map(({ record }) => record.purpose))],
    stones: new Map(stones.map(({ record }) => [record.id, record])),
    lists: [...lists].sort((a, b) => b.record.id.localeCompare(a.record.id)),
    currency: most?.[0] ?? "EUR",
  };
}
