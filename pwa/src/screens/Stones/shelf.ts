import type { Finding, Inspection, Lot, Protocol, Stone, Trial } from "../../domain/records";
import { readAll, readSession } from "../../store/catalogue";
import type { RecordState } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { asksForWork, latestByFace, standing, type StoneStanding } from "./state";

/** A stone as the list shows it. */
export interface ShelfRow {
  readonly stone: Stone;
  readonly record: RecordState;
  readonly lot: Lot | null;
  readonly standing: StoneStanding;
  /** Of the front's latest inspection (of the back's where only that was inspected). */
  readonly findings: readonly Finding[];
  readonly needsHand: ReadonlySet<string>;
}

export interface Shelf {
  readonly rows: readonly ShelfRow[];
  readonly lots: readonly Lot[];
  readonly protocols: readonly Protocol[];
  readonly mayDeal: boolean;
}

function byStone<R extends { readonly stone_id: string }>(records: readonly R[]): Map<string, R[]> {
  const groups = new Map<string, R[]>();
  for (const record of records) {
    const group = groups.get(record.stone_id);
    if (group === undefined) groups.set(record.stone_id, [record]);
    else group.push(record);
  }
  return groups;
}

function found(inspections: readonly Inspection[]): Pick<ShelfRow, "findings" | "needsHand"> {
  const { front, back } = latestByFace(inspections);
  const shown = front ?? back;
  return {
    findings: shown?.findings ?? [],
    needsHand: new Set((shown?.verdicts ?? []).flatMap((v) => (v.finding_id !== null && asksForWork(v.urgency) ? [v.finding_id] : []))),
  };
}

// Codes such as "L3-7" and "L3-12" sort as people count.
const byCode = new Intl.Collator("en", { numeric: true });

/** Everything the list needs, in one read: three passes over whole tables are cheaper than 5,000 small ones. */
export async function readShelf(): Promise<Shelf> {
  const [session, stones, lots, inspections, trials, protocols] = await Promise.all([
    readSession(), readAll("stone"), readAll("lot"), readAll("inspection"), readAll("trial"), readAll("protocol"),
  ]);
  const lotById = new Map(lots.map(({ record }) => [record.id, record]));
  const inspected = byStone<Inspection>(inspections.map(({ record }) => record));
  const tried = byStone<Trial>(trials.map(({ record }) => record));
  const member = session?.member.id ?? "";
  return {
    rows: stones
      .map(({ record, state }) => ({
        stone: record,
        record: state,
        lot: lotById.get(record.lot_id) ?? null,
        standing: standing(inspected.get(record.id) ?? [], tried.get(record.id) ?? [], member, (i) => i.verdicts),
        ...found(inspected.get(record.id) ?? []),
      }))
      .sort((a, b) => byCode.compare(a.stone.code, b.stone.code)),
    lots: [...lotById.values()].sort((a, b) => byCode.compare(a.code, b.code)),
    protocols: protocols.map(({ record }) => record),
    mayDeal: mayDeal(session),
  };
}
