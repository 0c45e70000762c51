/** What is asked of the member, and what lies in the member's hands. */
import type { Assignment, Blade, HandOver, Protocol, Stone } from "../../domain/records";
import { readHandOvers, readOpenAssignments } from "../../store/assignments";
import { readAll, readOne, readSession } from "../../store/catalogue";
import { asked as say } from "../../words/asked";
import { day } from "../../words/trade";
import { bladesOf } from "../blades";
import { standing } from "../Stones/state";

export interface AskedTrial {
  readonly id: string;
  readonly stone: Stone;
  readonly assignment: Assignment;
  /** null: the tester chooses. */
  readonly steelName: string | null;
  readonly blades: readonly Blade[];
  readonly href: string;
  /** Where the stone is, if it has to be fetched; null: in the member's own hands. */
  readonly whereabouts: string | null;
  /** Its rules ask for work before it is used. It is asked for all the same, but not without saying so. */
  readonly needsHand: boolean;
}

export interface HeldStone {
  readonly stone: Stone;
  readonly handOver: HandOver;
  readonly needsHand: boolean;
}

/** The form of the trial, filled in as far as the assignment leaves no choice. */
export function tryHref({ stone_id, purpose }: Assignment, protocols: readonly Protocol[], blades: readonly Blade[]): string {
  const fit = protocols.filter((protocol) => protocol.purpose === purpose);
  const query = new URLSearchParams();
  if (fit.length === 1 && fit[0]) {
    query.set("protocol", fit[0].id);
    if (blades.length === 1 && blades[0]) query.set("blade", blades[0].id);
  }
  return `/stones/${stone_id}/trial${query.size === 0 ? "" : `?${query.toString()}`}`;
}

export async function readAsked() {
  const me = (await readSession())?.member.id ?? "";
  const [open, last, blades, protocols, members] = await Promise.all([
    readOpenAssignments({ tester_id: me }), readHandOvers(), readAll("blade"), readAll("protocol"), readAll("member", { withdrawn: true }),
  ]);
  const held = [...last.values()].filter(({ holder_id }) => holder_id === me);
  // A handful of stones: asking for each is far less than reading the whole shelf before the bench can show them.
  const ids = [...new Set([...open, ...held].map(({ stone_id }) => stone_id))];
  const known = await Promise.all(ids.map(async (id) => ({
    stone: (await readOne("stone", id))?.record ?? null,
    inspections: (await readAll("inspection", { where: { stone_id: id } })).map(({ record }) => record),
  })));
  const byId = new Map(known.flatMap(({ stone }) => (stone === null || stone.withdrawn !== null ? [] : [[stone.id, stone] as const])));
  const needsHand = new Set(known.flatMap(({ stone, inspections }) =>
    stone !== null && standing(inspections, [], me, ({ verdicts }) => verdicts).states.has("needs_hand") ? [stone.id] : []));
  const names = new Map(members.map(({ record }) => [record.id, record.display_name]));
  const every = blades.map(({ record }) => record);
  const where = (stoneId: string): string | null => {
    const holder = last.get(stoneId)?.holder_id ?? null;
    return holder === me ? null : holder === null ? say.withDealer : say.with(names.get(holder) ?? say.somebody);
  };
  return {
    asked: open.flatMap((assignment): AskedTrial[] => {
      const stone = byId.get(assignment.stone_id);
      if (stone === undefined) return [];
      const { steel, purpose } = assignment;
      const fit = steel === null ? [] : bladesOf(every, steel, purpose);
      const steelName = steel === null ? null : every.find((blade) => blade.steel === steel)?.steel_name ?? steel.replaceAll("_", " ");
      const href = tryHref(assignment, protocols.map(({ record }) => record), fit);
      return [{ id: assignment.id, stone, assignment, steelName, blades: fit, href, whereabouts: where(stone.id), needsHand: needsHand.has(stone.id) }];
    }),
    held: held
      .flatMap((handOver): HeldStone[] => {
        const stone = byId.get(handOver.stone_id);
        return stone === undefined ? [] : [{ stone, handOver, needsHand: needsHand.has(stone.id) }];
      })
      .sort((a, b) => a.stone.code.localeCompare(b.stone.code)),
  };
}
export type AskedView = Awaited<ReturnType<typeof readAsked>>;

export const sinceWords = ({ handed_at }: HandOver): string => say.since(day(handed_at));
