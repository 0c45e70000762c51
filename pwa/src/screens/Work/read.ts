import type { Inspection, Stone } from "../../domain/records";
import { readAll, readRuleSet, readSession, type Seen } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { itemsOf, onlyToLookAt, workByStone, type StoneWork } from "./list";

export interface OpenCount {
  readonly items: number;
  readonly stones: number;
  /** Stones whose repairs are done and that only wait for a fresh look. */
  readonly again: readonly Pick<Stone, "id" | "code">[];
}

export interface WorkView {
  readonly work: readonly StoneWork[];
  /** Every repair, the latest first. */
  readonly repairs: readonly Seen<"repair">[];
  readonly stones: ReadonlyMap<string, Stone>;
  readonly inspections: ReadonlyMap<string, Inspection>;
  readonly names: ReadonlyMap<string, string>;
  readonly mayDeal: boolean;
}

/** Everything the work list shows, from this phone; of one stone if it is named. */
export async function readWork(stoneId: string | null): Promise<WorkView> {
  const where = stoneId === null ? {} : { where: { stone_id: stoneId } };
  const [session, stones, inspections, repairs, ruleSet, members] = await Promise.all([
    readSession(), readAll("stone"), readAll("inspection", where), readAll("repair", where), readRuleSet(),
    readAll("member", { withdrawn: true }),
  ]);
  return {
    work: workByStone({
      stones: stones.map(({ record }) => record),
      inspections: inspections.map(({ record }) => record),
      repairs: repairs.map(({ record }) => record),
      rules: ruleSet?.record.rules ?? null,
    }),
    repairs: repairs.sort((a, b) => b.record.done_at.localeCompare(a.record.done_at)),
    stones: new Map(stones.map(({ record }) => [record.id, record])),
    inspections: new Map(inspections.map(({ record }) => [record.id, record])),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
    mayDeal: mayDeal(session),
  };
}

/** How much is open: for a line on the bench, or on one stone's page. */
export async function countWork(stoneId: string | null): Promise<OpenCount> {
  const { work } = await readWork(stoneId);
  return { items: itemsOf(work).length, stones: work.length, again: onlyToLookAt(work) };
}
