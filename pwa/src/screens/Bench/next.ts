/** Which stones a member should try next, worked out from what this phone holds. Pure. */

import { facesToConfirm } from "../../domain/depth";
import type { Inspection, Lapping, Stone, Trial } from "../../domain/records";
import { standing } from "../Stones/state";

/** Why a stone is on the list. */
export type Why = "not_tried" | "inspect_first" | "confirm";

export interface NextStone {
  readonly stone: Stone;
  readonly why: Why;
}

interface Holdings {
  readonly stones: readonly Stone[];
  readonly inspections: readonly Inspection[];
  readonly trials: readonly Trial[];
  readonly lappings: readonly Lapping[];
  readonly memberId: string;
  /** Wear or lapping beyond this asks for a confirming trial; set by the club. */
  readonly confirmDepthMm: number;
}

/**
 * Members of a club look at the same list. If all began at the top, some stones would be tried by everybody and
 * others by nobody, so each member's list begins elsewhere. FNV-1a over member and stone: well spread, and the
 * same on every phone of a member.
 */
function place(memberId: string, stoneId: string): number {
  let hash = 0x811c9dc5;
  for (const char of `${memberId} ${stoneId}`) hash = Math.imul(hash ^ char.charCodeAt(0), 0x01000193);
  return hash >>> 0;
}

function grouped<R extends { readonly stone_id: string }>(records: readonly R[]): ReadonlyMap<string, readonly R[]> {
  const groups = new Map<string, R[]>();
  for (const record of records) {
    const group = groups.get(record.stone_id);
    if (group === undefined) groups.set(record.stone_id, [record]);
    else group.push(record);
  }
  return groups;
}

const order: Readonly<Record<Why, number>> = { confirm: 0, not_tried: 1, inspect_first: 2 };

/** First what asks to be confirmed, then what is ready and untried, then what must be looked over before a trial. */
export function nextStones({ stones, inspections, trials, lappings, memberId, confirmDepthMm }: Holdings): NextStone[] {
  const inspected = grouped(inspections);
  const tried = grouped(trials);
  const lapped = grouped(lappings);
  const next = stones.flatMap((stone): NextStone[] => {
    const [looked, done] = [inspected.get(stone.id) ?? [], tried.get(stone.id) ?? []];
    const { states, n_own_trials } = standing(looked, done, memberId, (inspection) => inspection.verdicts);
    // A stone that asks for work first is not put on water by a list.
    if (states.has("needs_hand")) return [];
    const own = done.filter((trial) => trial.created_by === memberId && trial.withdrawn === null);
    if (n_own_trials > 0) return facesToConfirm({ trials: own, inspections: looked, lappings: lapped.get(stone.id) ?? [] }, confirmDepthMm).length > 0 ? [{ stone, why: "confirm" }] : [];
    return [{ stone, why: states.has("to_inspect") ? "inspect_first" : "not_tried" }];
  });
  return next.sort(
    (a, b) => order[a.why] - order[b.why] || place(memberId, a.stone.id) - place(memberId, b.stone.id),
  );
}
