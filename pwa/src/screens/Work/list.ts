/** The work list as a screen shows it: open work of every stone, its local verdicts filled in. Pure. */

import type { Inspection, Repair, Rule, Stone } from "../../domain/records";
import { latestLooks, openWork, type WorkItem } from "../../domain/soundness/work";
import { urgencyRank } from "../../domain/soundness/rules";
import { verdictsOf } from "../Stone/verdictsOf";

/** One face with its open work, and the inspection it follows from. */
export interface FaceWork {
  readonly inspection: Inspection;
  readonly items: readonly WorkItem[];
  /** The verdicts come from this phone; the club's follow once the inspection is sent. */
  readonly local: boolean;
}

export interface StoneWork {
  readonly stone: Stone;
  readonly faces: readonly FaceWork[];
}

export interface Holdings {
  readonly stones: readonly Stone[];
  readonly inspections: readonly Inspection[];
  readonly repairs: readonly Repair[];
  readonly rules: readonly Rule[] | null;
}

/** Open work by stone; a stone stands where its most urgent item would stand. Items of one face stay together. */
export function workByStone({ stones, inspections, repairs, rules }: Holdings): StoneWork[] {
  const here = new Map(stones.map((stone) => [stone.id, stone]));
  const looks = latestLooks(inspections).flatMap((inspection) => {
    const stone = here.get(inspection.stone_id);
    if (stone === undefined) return [];
    const { verdicts, local } = verdictsOf(stone, inspection, rules);
    return [{ inspection: { ...inspection, verdicts }, local }];
  });
  const held = new Map(looks.map((look) => [look.inspection.id, look]));
  const byStone = new Map<string, Map<string, WorkItem[]>>();
  for (const item of openWork(looks.map(({ inspection }) => inspection), repairs)) {
    const faces = byStone.get(item.stone_id) ?? new Map<string, WorkItem[]>();
    byStone.set(item.stone_id, faces.set(item.inspection_id, [...(faces.get(item.inspection_id) ?? []), item]));
  }
  return [...byStone].flatMap(([stoneId, faces]) => {
    const stone = here.get(stoneId);
    if (stone === undefined) return [];
    const shown = [...faces].flatMap(([inspectionId, items]): FaceWork[] => {
      const look = held.get(inspectionId);
      return look === undefined ? [] : [{ ...look, items }];
    });
    return [{ stone, faces: shown }];
  });
}

export const itemsOf = (work: readonly StoneWork[]): WorkItem[] =>
  work.flatMap(({ faces }) => faces.flatMap(({ items }) => [...items])).sort((a, b) => urgencyRank(b.urgency) - urgencyRank(a.urgency));

/** What names one item, for keys and for the draft of its repair. */
export const itemKey = (item: Pick<WorkItem, "inspection_id" | "finding_id" | "rule_id">): string =>
  `repair:${item.inspection_id}:${item.finding_id ?? ""}:${item.rule_id ?? ""}`;

/** Verdicts that stand for an inspection only, so a repair of theirs is nothing but a fresh look. */
export const asksForALook = (item: WorkItem): boolean => item.rule_id === null || item.verdict === "inspect again";

/** Stones that ask for nothing more than a fresh look: what was to be done to them is done. */
export const onlyToLookAt = (work: readonly StoneWork[]): Stone[] =>
  work.filter(({ faces }) => faces.every(({ items }) => items.every(asksForALook))).map(({ stone }) => stone);
