/**
 * What is still to be done to a stone: open verdicts of its last inspections, less what was done about them. Open work
 * is never typed in. It follows from inspections and repairs alone, so that the phone without a signal and the service
 * come to the same list.
 */

import type { Face, Inspection, Repair, Urgency, Verdict } from "../records";
import { URGENCIES, urgencyRank } from "./rules";

/** Urgencies that put a verdict on the list; "watch" only asks for an eye on it. */
export const ASKS_FOR_WORK: readonly Urgency[] = ["soon", "before_use", "reject"];

/** A stone with open work of this urgency cannot be published. */
export const BLOCKS_PUBLICATION: readonly Urgency[] = ["before_use", "reject"];

export const INSPECT_AGAIN = "inspect again";

/** One thing to do to one stone, and why. `rule_id` null: nothing but a fresh look is asked for. */
export interface WorkItem {
  readonly stone_id: string;
  readonly face: Face;
  readonly inspection_id: string;
  readonly finding_id: string | null;
  readonly rule_id: string | null;
  readonly verdict: string;
  readonly urgency: Urgency;
  readonly because: string;
  readonly caution: string | null;
}

/** The parts of an inspection that open work follows from. */
export type Looked = Pick<Inspection, "id" | "stone_id" | "face" | "inspected_at" | "withdrawn"> & {
  readonly verdicts: readonly Pick<Verdict, "rule_id" | "finding_id" | "verdict" | "urgency" | "because" | "caution">[];
};

/** The parts of a repair by which it answers a verdict. */
export type Answered = Pick<Repair, "inspection_id" | "finding_id" | "rule_id" | "outcome" | "withdrawn" | "done_at" | "id">;

/** The inspection that counts for each stone and face: the last one that is not withdrawn. */
export function latestLooks<L extends Pick<Looked, "id" | "stone_id" | "face" | "inspected_at" | "withdrawn">>(
  inspections: readonly L[],
): L[] {
  const latest = new Map<string, L>();
  for (const one of inspections) {
    if (one.withdrawn !== null) continue;
    const key = `${one.stone_id} ${one.face}`;
    const present = latest.get(key);
    if (present === undefined || compare([one.inspected_at, one.id], [present.inspected_at, present.id]) > 0) {
      latest.set(key, one);
    }
  }
  return [...latest.values()];
}

const nameOf = (inspectionId: string, findingId: string | null, ruleId: string): string =>
  JSON.stringify([inspectionId, findingId, ruleId]);

/**
 * The work list, most urgent first. Times are compared as text: they are written in one form, UTC to the millisecond.
 *
 * A repair answers one verdict: the same inspection, finding and rule. A done repair asks for a fresh look at the face,
 * urgent as the verdict it answered; "not needed" closes the verdict and asks for nothing. Of two answers to one verdict the
 * later one counts.
 */
export function openWork(inspections: readonly Looked[], repairs: readonly Answered[]): WorkItem[] {
  const answers = new Map<string, Answered>();
  const inTurn = [...repairs].sort((a, b) => compare([a.done_at, a.id], [b.done_at, b.id]));
  for (const repair of inTurn) {
    if (repair.withdrawn === null) answers.set(nameOf(repair.inspection_id, repair.finding_id, repair.rule_id), repair);
  }
  const items = latestLooks(inspections).flatMap((inspection): WorkItem[] => {
    const at = { stone_id: inspection.stone_id, face: inspection.face, inspection_id: inspection.id };
    const asking = inspection.verdicts.filter((verdict) => ASKS_FOR_WORK.includes(verdict.urgency));
    const answerTo = (verdict: (typeof asking)[number]): Answered | undefined =>
      answers.get(nameOf(inspection.id, verdict.finding_id, verdict.rule_id));
    const open = asking
      .filter((verdict) => answerTo(verdict) === undefined)
      .map(({ finding_id, rule_id, verdict, urgency, because, caution }) => ({
        ...at, finding_id, rule_id, verdict, urgency, because, caution,
      }));
    const [first, ...others] = asking.filter((verdict) => answerTo(verdict)?.outcome === "done");
    if (first === undefined) return open;
    const strictest = others.reduce((most, one) => (urgencyRank(one.urgency) > urgencyRank(most.urgency) ? one : most), first);
    const look: WorkItem = {
      ...at,
      finding_id: null,
      rule_id: null,
      verdict: INSPECT_AGAIN,
      urgency: strictest.urgency,
      because: `A repair is done (${strictest.verdict}). Look at the face again before you go on.`,
      caution: null,
    };
    return [...open, look];
  });
  return items.sort((a, b) => compare(order(a), order(b)));
}

type Order = readonly (string | number)[];

const order = (item: WorkItem): Order => [
  URGENCIES.length - urgencyRank(item.urgency), item.stone_id, item.face, item.finding_id ?? "", item.rule_id ?? "",
];

/** One after another, as the service compares. Not by the reader's language, which would order two phones differently. */
function compare(a: Order, b: Order): number {
  for (const [i, one] of a.entries()) {
    const other = b[i] ?? "";
    if (one < other) return -1;
    if (one > other) return 1;
  }
  return 0;
}
