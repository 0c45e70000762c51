import type { Finding, Inspection, Lot, Protocol, Stone, Trial, Verdict } from "../../domain/records";
import { readAll, readRuleSet, readSession } from "../../store/catalogue";
import type { RecordState } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { verdictsOf } from "../Stone/verdictsOf";
import { asksForWork, latestByFace, standing, type StoneStanding } from "./state";

/** A stone as the list shows it. */
export interface ShelfRow {
  readonly stone: Stone;
  readonly record: RecordState;
  readonly lot: Lot | null;
  /** null while it is still being worked out. */
  readonly standing: StoneStanding | null;
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

function found(
  inspections: readonly Inspection[],
  verdictsOf: (inspection: Inspection) => readonly Verdict[],
): Pick<ShelfRow, "findings" | "needsHand"> {
  const { front, back } = latestByFace(inspections);
  const shown = front ?? back;
  return {
    findings: shown?.findings ?? [],
    needsHand: new Set((shown ? verdictsOf(shown) : []).flatMap((v) => (v.finding_id !== null && asksForWork(v.urgency) ? [v.finding_id] : []))),
  };
}

// Codes such as "L3-7" and "L3-12" sort as people count.
const byCode = new Intl.Collator("en", { numeric: true });

/** What can be shown at once: the stones themselves. With thousands of them the rest takes a moment longer. */
export async function readStonesAlone(): Promise<Shelf> {
  const [session, stones, lots, protocols] = await Promise.all([readSession(), readAll("stone"), readAll("lot"), readAll("protocol")]);
  const lotById = new Map(lots.map(({ record }) => [record.id, record]));
  return {
    rows: sorted(stones.map(({ record, state }) => ({
      stone: record, record: state, lot: lotById.get(record.lot_id) ?? null, standing: null, findings: [], needsHand: new Set<string>(),
    }))),
    lots: sortedLots(lotById.values()),
    protocols: protocols.map(({ record }) => record),
    mayDeal: mayDeal(session),
  };
}

/** Everything the list needs, in one read: passes over whole tables are cheaper than 5,000 small ones. */
export async function readShelf(): Promise<Shelf> {
  const [alone, session, inspections, trials, ruleSet] = await Promise.all([
    readStonesAlone(), readSession(), readAll("inspection"), readAll("trial"), readRuleSet(),
  ]);
  const inspected = byStone<Inspection>(inspections.map(({ record }) => record));
  const tried = byStone<Trial>(trials.map(({ record }) => record));
  const member = session?.member.id ?? "";
  const rules = ruleSet?.record.rules ?? null;
  return {
    ...alone,
    rows: alone.rows.map((row) => {
      const own = inspected.get(row.stone.id) ?? [];
      const verdicts = (inspection: Inspection) => verdictsOf(row.stone, inspection, rules).verdicts;
      return { ...row, standing: standing(own, tried.get(row.stone.id) ?? [], member, verdicts), ...found(own, verdicts) };
    }),
  };
}

const sorted = (rows: ShelfRow[]): ShelfRow[] => rows.sort((a, b) => byCode.compare(a.stone.code, b.stone.code));
const sortedLots = (lots: Iterable<Lot>): Lot[] => [...lots].sort((a, b) => byCode.compare(a.code, b.code));
