/** What the pooled grades are shown with: the stones, their lots, and what the club asks for. */
import type { Lot, Purpose, Stone } from "../../domain/records";
import { readAll, readClub, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { purposes } from "../../words/trade";

export async function readBase() {
  const [session, stones, lots, protocols, club, members, blades] = await Promise.all([
    readSession(), readAll("stone"), readAll("lot"), readAll("protocol"), readClub(), readAll("member"), readAll("blade"),
  ]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  const byCode = new Intl.Collator("en", { numeric: true });
  return {
    mayDeal: mayDeal(session),
    stones: new Map<string, Stone>(stones.map(({ record }) => [record.id, record])),
    lots: lots.map(({ record }): Lot => record).sort((a, b) => byCode.compare(a.code, b.code)),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    protocols: protocols.map(({ record }) => record),
    members: new Map(members.map(({ record }) => [record.id, record.display_name])),
    steels: new Map(blades.map(({ record }) => [record.steel, record.steel_name])),
    rules: club?.record.publish_rules ?? null,
  };
}
export type Base = Awaited<ReturnType<typeof readBase>>;
