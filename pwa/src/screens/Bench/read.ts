import { practiceKind } from "../../constants";
import { defaultConfirmDepthMm } from "../../domain/depth";
import { findStoneByCode, readAll, readClub, readOne, readSession } from "../../store/catalogue";
import type { Draft, QueueEntry } from "../../store/db";
import { readDrafts } from "../../store/drafts";
import { readHandOvers, readOpenAssignments } from "../../store/assignments";
import { readQueue } from "../../store/outbox";
import { changeKey } from "../changeKey";
import { nextStones, type NextStone } from "./next";

export { findStoneByCode };

/** A queue entry with the code of the stone it is about, which is how people know it. */
export interface KnownEntry {
  readonly entry: QueueEntry;
  readonly sequence: number;
  readonly stoneCode: string | null;
  /** Where the record can be looked at or changed; null where there is no screen for it. */
  readonly href: string | null;
}

/** What is the member's own and unfinished. Small, so it is on the screen at once. */
export interface BenchView {
  readonly clubName: string;
  readonly invented: boolean;
  readonly drafts: readonly { readonly draft: Draft; readonly code: string | null; readonly href: string }[];
  readonly needsYou: readonly KnownEntry[];
  /** The first of them; how many there are the status says. */
  readonly waiting: readonly KnownEntry[];
  /** Names of members, blades and protocols, by their ids. */
  readonly names: ReadonlyMap<string, string>;
}

/** What to try next. Looks through all stones, so it may come a moment later. */
export interface NextView {
  readonly next: readonly NextStone[];
  readonly hasStones: boolean;
  /** The member has made a trial already; who has not may like to practise first. */
  readonly hasTried: boolean;
}

const formOf: Readonly<Record<string, string>> = { trial: "trial", inspection: "inspect", lapping: "lap" };

function draftHref({ kind, about_id, key, record_id }: Draft): string {
  if (kind === "rule_set") return "/rules";
  if (kind === "intake") return "/intake";
  if (kind === "match") return "/match";
  if (kind === practiceKind) return "/practice";
  if (kind === "stone") return `/stones/${record_id}/change`;
  const change = key === changeKey(record_id) ? `?change=${record_id}` : "";
  return kind === "repair" ? `/work?stone=${about_id}` : `/stones/${about_id}/${formOf[kind] ?? ""}${change}`;
}

/** The stone an entry is about. An act (a withdrawal) names only its record, whose stone must be looked up. */
async function stoneIdOf(entry: QueueEntry): Promise<string | null> {
  if (entry.thing === "stone") return entry.record_id;
  const own = entry.body?.["stone_id"];
  if (typeof own === "string") return own;
  const { thing } = entry;
  if (thing !== "trial" && thing !== "inspection" && thing !== "slip" && thing !== "assignment" && thing !== "hand_over") return null;
  return (await readOne(thing, entry.record_id))?.record.stone_id ?? null;
}

const codeOf = async (stoneId: string | null): Promise<string | null> =>
  stoneId === null ? null : ((await readOne("stone", stoneId))?.record.code ?? null);

function hrefOf({ thing, record_id: recordId, act, state }: QueueEntry, stoneId: string | null): string | null {
  if (thing === "protocol") return `/protocols/${recordId}`;
  if (thing === "rule_set") return "/rules";
  if (thing === "shortlist") return `/match/${recordId}`;
  if (stoneId === null) return null;
  // What was refused is mended where it is typed.
  if ((thing === "stone" || thing === "offer") && act === "put" && state === "needs_you") return `/stones/${stoneId}/change`;
  if (thing === "slip") return `/stones/${stoneId}/publish`;
  return thing === "repair" ? `/work?stone=${stoneId}` : thing === "lapping" ? `/stones/${stoneId}/lap` : `/stones/${stoneId}`;
}

async function known(entry: QueueEntry): Promise<KnownEntry> {
  const stoneId = await stoneIdOf(entry);
  const own = entry.body?.["code"];
  return {
    entry,
    sequence: entry.sequence ?? 0,
    // A stone that was set aside is in no list, and known by what it says of itself.
    stoneCode: (await codeOf(stoneId)) ?? (entry.thing === "stone" && typeof own === "string" ? own : null),
    href: hrefOf(entry, stoneId),
  };
}

/** A lot that was taken in without a signal waits as a thousand records; nobody reads them one by one. */
const shownWaiting = 30;

export async function readBench(): Promise<BenchView> {
  const [session, members, blades, protocols, queue, drafts] = await Promise.all([
    readSession(), readAll("member"), readAll("blade"), readAll("protocol"), readQueue(), readDrafts(),
  ]);
  // Photos are counted, not listed.
  const waiting = queue.filter((entry) => (entry.state === "waiting" || entry.state === "sending") && entry.act !== "photo");
  return {
    clubName: session?.club.name ?? "",
    invented: session?.club.invented ?? false,
    drafts: await Promise.all(
      drafts.map(async (draft) => ({
        draft,
        code: await codeOf(draft.about_id),
        href: draftHref(draft),
      })),
    ),
    needsYou: await Promise.all(queue.filter((entry) => entry.state === "needs_you").map(known)),
    waiting: await Promise.all(waiting.slice(0, shownWaiting).map(known)),
    names: new Map([
      ...members.map(({ record }): [string, string] => [record.id, record.display_name]),
      ...[...blades, ...protocols].map(({ record }): [string, string] => [record.id, record.name]),
    ]),
  };
}

/** What the member set aside, for the screen about the phone. */
export const readSetAside = async (): Promise<KnownEntry[]> =>
  Promise.all((await readQueue()).filter((entry) => entry.state === "set_aside").map(known));

export async function readNext(): Promise<NextView> {
  const memberId = (await readSession())?.member.id ?? "";
  const [club, stones, inspections, lappings, trials, asked, last] = await Promise.all([
    readClub(),
    readAll("stone"),
    readAll("inspection"),
    readAll("lapping"),
    // A dealer's phone holds everybody's trials; only the own ones say what is left to try.
    readAll("trial", { where: { created_by: memberId } }),
    readOpenAssignments({ tester_id: memberId }),
    readHandOvers(),
  ]);
  // What is asked for, or lies in the member's hands, stands above by itself.
  const above = new Set([
    ...asked.map(({ stone_id }) => stone_id),
    ...[...last.values()].filter(({ holder_id }) => holder_id === memberId).map(({ stone_id }) => stone_id),
  ]);
  return {
    next: nextStones({
      stones: stones.map(({ record }) => record).filter(({ id }) => !above.has(id)),
      inspections: inspections.map(({ record }) => record),
      lappings: lappings.map(({ record }) => record),
      trials: trials.map(({ record }) => record),
      memberId,
      confirmDepthMm: club?.record.confirm_depth_mm ?? defaultConfirmDepthMm,
    }),
    hasStones: stones.length > 0,
    hasTried: trials.length > 0,
  };
}
