/** The merged picture: what the service holds, with the member's own unsent work lying over it. Pure. */

import type { Kept, Records, Thing, Withdrawn } from "../domain/records";
import type { Problem, QueueEntry } from "./db";

export type RecordState = "sent" | "waiting" | "needs_you";

export interface Seen<T extends Thing> {
  readonly record: Records[T];
  readonly state: RecordState;
  /** Why it needs you, or what went wrong at the last try. */
  readonly problem: Problem | null;
  /** Names the queue entry for the commands retry, keepMine, takeTheirs and setAside; null when sent. */
  readonly sequence: number | null;
}

const stateOf = (entry: QueueEntry): RecordState => (entry.state === "needs_you" ? "needs_you" : "waiting");

/** Something that needs a hand says so, even if another part of the same record merely waits. */
const worse = (a: RecordState, b: RecordState): RecordState =>
  a === "needs_you" || b === "needs_you" ? "needs_you" : a === "waiting" || b === "waiting" ? "waiting" : "sent";

function kept(entry: QueueEntry): Kept {
  return {
    id: entry.record_id,
    version: 0,
    revision: 0,
    recorded_at: entry.recorded_at,
    created_by: entry.member_id,
    created_at: entry.recorded_at,
    updated_at: entry.recorded_at,
    updated_by: entry.member_id,
    withdrawn: null,
  };
}

/** Fields only the service can fill, until it has. */
const notYetServed: { readonly [T in Thing]?: Readonly<Record<string, unknown>> } = {
  inspection: { verdicts: [], rule_set_version: null },
  trial: { excluded: null },
  slip: {
    code: "", issued_on: "", club_name: "", stone: null, grades: [], evidence: null, findings: [], care: [],
    method_version: "", inputs_digests: {}, pool_revision: 0,
  },
  shortlist: { code: "", made_on: "", club_name: "", found: null, method_version: "", pool_revision: 0 },
};

/** Lays one entry over a record. A put without a record below it makes a new one; an act without one shows nothing. */
function layOver<T extends Thing>(thing: T, below: Seen<T> | undefined, entry: QueueEntry): Seen<T> | undefined {
  const state = worse(below?.state ?? "sent", stateOf(entry));
  const shown = { state, problem: entry.problem ?? below?.problem ?? null, sequence: entry.sequence ?? null };
  if (entry.act === "put") {
    const ground = below?.record ?? { ...kept(entry), ...notYetServed[thing] };
    return { ...shown, record: { ...ground, ...entry.body, recorded_at: entry.recorded_at } as Records[T] };
  }
  if (below === undefined) return undefined;
  const mark: Withdrawn = {
    at: entry.recorded_at,
    by: entry.member_id,
    reason: typeof entry.body?.["reason"] === "string" ? entry.body["reason"] : "",
  };
  const change =
    entry.act === "withdraw" ? { withdrawn: mark } : entry.act === "exclude" ? { excluded: mark } : { excluded: null };
  return { ...shown, record: { ...below.record, ...change } };
}

/** rows: as served. entries: the member's own for this thing, in order of saving. */
export function overlay<T extends Thing>(
  thing: T,
  rows: readonly Records[T][],
  entries: readonly QueueEntry[],
): Seen<T>[] {
  const seen = new Map<string, Seen<T>>(
    rows.map((record) => [record.id, { record, state: "sent", problem: null, sequence: null }]),
  );
  for (const entry of entries) {
    if (entry.thing !== thing || entry.act === "photo" || entry.state === "set_aside") continue;
    const laid = layOver(thing, seen.get(entry.record_id), entry);
    if (laid !== undefined) seen.set(entry.record_id, laid);
  }
  return [...seen.values()];
}
