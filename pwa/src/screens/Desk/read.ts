import type { Here } from "../../domain/board";
import type { Finding, Inspection, Member, Purpose, Slip } from "../../domain/records";
import { lastHandOvers } from "../../domain/assignments";
import { isIssued } from "../../domain/publishing";
import { readAll, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { readQueue } from "../../store/outbox";
import { purposes } from "../../words/trade";
import { asksForWork, latestByFace } from "../Stones/state";

// Codes such as "L3-7" and "L3-12" sort as people count.
const byCode = new Intl.Collator("en", { numeric: true });

/** What is drawn on a stone's face in the list. */
export interface DrawnFace {
  readonly findings: readonly Finding[];
  readonly needsHand: ReadonlySet<string>;
}

/** What the desk needs from this phone whatever the purpose, and what seldom changes while it is open. */
export async function readDesk() {
  const [session, stones, lots, members, protocols, blades] = await Promise.all([
    readSession(), readAll("stone"), readAll("lot"), readAll("member", { withdrawn: true }), readAll("protocol"), readAll("blade"),
  ]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  const everybody = members.map(({ record }) => record);
  const active = everybody.filter((member) => member.withdrawn === null && member.active);
  const steels = new Map(blades.map(({ record }) => [record.steel, record.steel_name]));
  return {
    mayDeal: mayDeal(session),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    stones: stones.sort((a, b) => byCode.compare(a.record.code, b.record.code)),
    lots: lots.map(({ record }) => record).sort((a, b) => byCode.compare(a.code, b.code)),
    members: new Map<string, Member>(everybody.map((member) => [member.id, member])),
    active: active.sort((a, b) => a.display_name.localeCompare(b.display_name)),
    steels: [...steels].map(([steel, name]) => ({ steel, name })).sort((a, b) => a.name.localeCompare(b.name)),
  };
}
export type DeskBase = Awaited<ReturnType<typeof readDesk>>;

/**
 * What waits here and lies over the board, for a purpose. Only own records wait on a phone. Read apart from the rest:
 * after an act on many stones it changes with every record that is sent.
 */
export async function readHere(purpose: Purpose): Promise<Omit<Here, "stones">> {
  const [handOvers, queue, slips, offers] = await Promise.all([readAll("hand_over"), readQueue(), readAll("slip"), readAll("offer")]);
  const underway = queue.filter((entry) => entry.act === "put" && entry.state !== "set_aside");
  const asking = new Map<string, number>();
  const handing = new Set<string>();
  for (const { thing, body } of underway) {
    const stoneId = body?.["stone_id"];
    if (typeof stoneId !== "string") continue;
    if (thing === "assignment" && body?.["purpose"] === purpose) asking.set(stoneId, (asking.get(stoneId) ?? 0) + 1);
    if (thing === "hand_over") handing.add(stoneId);
  }
  return {
    offers,
    handOvers: lastHandOvers(handOvers.map(({ record }) => record)),
    handing,
    asking,
    slips: slips.filter(({ record }: { record: Slip }) => record.purpose === purpose && !isIssued(record)),
  };
}

/** The last look at each stone's front, or its back where only that was looked at. */
export async function readFaces(): Promise<ReadonlyMap<string, DrawnFace>> {
  const byStone = new Map<string, Inspection[]>();
  for (const { record } of await readAll("inspection")) {
    const others = byStone.get(record.stone_id);
    if (others === undefined) byStone.set(record.stone_id, [record]);
    else others.push(record);
  }
  return new Map([...byStone].map(([stoneId, inspections]) => {
    const { front, back } = latestByFace(inspections);
    const shown = front ?? back;
    const hand = (shown?.verdicts ?? []).flatMap((one) => (one.finding_id !== null && asksForWork(one.urgency) ? [one.finding_id] : []));
    return [stoneId, { findings: shown?.findings ?? [], needsHand: new Set(hand) }];
  }));
}
