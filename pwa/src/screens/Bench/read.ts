import type { Thing } from "../../domain/records";
import { findStoneByCode, readAll, readClub, readSession } from "../../store/catalogue";
import type { Draft, QueueEntry } from "../../store/db";
import { readDrafts } from "../../store/drafts";
import { readQueue } from "../../store/outbox";
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

export interface BenchView {
  readonly clubName: string;
  readonly invented: boolean;
  readonly next: readonly NextStone[];
  readonly hasStones: boolean;
  readonly drafts: readonly { readonly draft: Draft; readonly code: string | null; readonly href: string }[];
  readonly needsYou: readonly KnownEntry[];
  readonly waiting: readonly KnownEntry[];
  readonly names: ReadonlyMap<string, string>;
}

const formOf: Readonly<Record<string, string>> = { trial: "trial", inspection: "inspect" };
const defaultConfirmDepthMm = 1;

function stoneIdOf(entry: QueueEntry, holders: ReadonlyMap<string, string>): string | null {
  const own = entry.body?.["stone_id"];
  if (entry.thing === "stone") return entry.record_id;
  return typeof own === "string" ? own : (holders.get(entry.record_id) ?? null);
}

function hrefOf(thing: Thing, stoneId: string | null, recordId: string): string | null {
  if (thing === "protocol") return `/protocols/${recordId}`;
  return stoneId === null ? null : `/stones/${stoneId}`;
}

/** Everything the bench shows, in one read. */
export async function readBench(): Promise<BenchView> {
  const [session, club, stones, inspections, trials, members, queue, drafts] = await Promise.all([
    readSession(), readClub(), readAll("stone"), readAll("inspection"), readAll("trial"), readAll("member"),
    readQueue(), readDrafts(),
  ]);
  const codes = new Map(stones.map(({ record }) => [record.id, record.code]));
  const holders = new Map([...inspections, ...trials].map(({ record }) => [record.id, record.stone_id]));
  const known = (entry: QueueEntry): KnownEntry => {
    const stoneId = stoneIdOf(entry, holders);
    const ownCode = entry.thing === "stone" && typeof entry.body?.["code"] === "string" ? entry.body["code"] : null;
    return {
      entry,
      sequence: entry.sequence ?? 0,
      stoneCode: stoneId === null ? null : (codes.get(stoneId) ?? ownCode),
      href: hrefOf(entry.thing, stoneId, entry.record_id),
    };
  };
  return {
    clubName: session?.club.name ?? "",
    invented: session?.club.invented ?? false,
    next: nextStones({
      stones: stones.map(({ record }) => record),
      inspections: inspections.map(({ record }) => record),
      trials: trials.map(({ record }) => record),
      memberId: session?.member.id ?? "",
      confirmDepthMm: club?.record.confirm_depth_mm ?? defaultConfirmDepthMm,
    }),
    hasStones: stones.length > 0,
    drafts: drafts.map((draft) => ({
      draft,
      code: draft.about_id === null ? null : (codes.get(draft.about_id) ?? null),
      href: `/stones/${draft.about_id}/${formOf[draft.kind] ?? ""}`,
    })),
    needsYou: queue.filter((entry) => entry.state === "needs_you").map(known),
    waiting: queue.filter((entry) => entry.state === "waiting" || entry.state === "sending").map(known),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
  };
}
