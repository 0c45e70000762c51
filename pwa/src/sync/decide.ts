/** What the engine does next, as pure functions of the queue, the answer, the time and a random number. */

import type { Answer, ProblemDetails } from "../api/errors";
import { retryAfterCeilingMs, retryCeilingMs, retryFirstMs } from "../constants";
import type { Problem, QueueEntry } from "../store/db";
import { reconcile } from "./reconcile";

/** Half of the wait is certain, half is chance: many phones in one hall must not come back in step. */
export function backoffMs(attempts: number, random: number): number {
  const whole = Math.min(retryCeilingMs, retryFirstMs * 2 ** Math.min(attempts, 20));
  return whole / 2 + (whole / 2) * random;
}

/** The wait before the next try: what the service asked for, within reason; else the backoff. */
export function waitMs(attempts: number, random: number, retryAfterMs: number | null): number {
  if (retryAfterMs === null) return backoffMs(attempts, random);
  return Math.min(Math.max(retryAfterMs, retryFirstMs / 2), retryAfterCeilingMs);
}

/** A clock that was set back would make a wait endless; it shows by a try that lies in the future. */
export function isDue(entry: Pick<QueueEntry, "tried_at" | "next_try_at">, now: number): boolean {
  if (entry.next_try_at === null || now >= entry.next_try_at) return true;
  return entry.tried_at !== null && now < entry.tried_at;
}

/** Same guard for the pause the whole service asked for. */
export function isPaused(pausedUntil: number | null, now: number): boolean {
  return pausedUntil !== null && now < pausedUntil && pausedUntil - now <= retryAfterCeilingMs;
}

/**
 * How long until something of the queue is worth a try, ms; null when nothing goes by itself. An entry marked as
 * being sent counts too: unless a round runs just now, it was cut off by a page that closed, and a round that the
 * service's pause turned away has not freed it yet.
 */
export function soonestTryMs(queue: readonly QueueEntry[], now: number): number | null {
  const waits = queue
    .filter((entry) => entry.state === "waiting" || entry.state === "sending")
    .map((entry) => (entry.next_try_at === null ? retryFirstMs : entry.next_try_at - now));
  return waits.length === 0 ? null : Math.max(retryFirstMs, Math.min(...waits));
}

const references = ["stone_id", "blade_id", "protocol_id", "lot_id", "inspection_id"] as const;

/**
 * The earlier entries that must be through first: another act on the same record, and the creation of a record
 * this one refers to. Everything else goes its own way, so one bad record never holds up the others.
 */
export function waitsFor(entry: QueueEntry, queue: readonly QueueEntry[]): QueueEntry[] {
  const named = references.map((field) => entry.body?.[field]);
  return queue.filter(
    (other) =>
      (other.sequence ?? 0) < (entry.sequence ?? 0) &&
      other.act !== "photo" &&
      other.state !== "set_aside" &&
      (other.record_id === entry.record_id || (other.base === null && other.act === "put" && named.includes(other.record_id))),
  );
}

/** The next entry to send now, in order of saving; null when there is none. */
export function nextToSend(queue: readonly QueueEntry[], now: number, done: ReadonlySet<number>): QueueEntry | null {
  const isReady = (entry: QueueEntry): boolean =>
    entry.state === "waiting" &&
    !done.has(entry.sequence ?? -1) &&
    isDue(entry, now) &&
    waitsFor(entry, queue).length === 0;
  // Photos are large and nobody waits for them: records first. The first one ready ends the search, since asking
  // every entry what it waits for would take the square of a long queue.
  return (
    queue.find((entry) => entry.act !== "photo" && isReady(entry)) ??
    queue.find((entry) => entry.act === "photo" && isReady(entry)) ??
    null
  );
}

export type Outcome =
  /** Off the queue, unless it was edited meanwhile. */
  | { readonly kind: "through"; readonly record: Readonly<Record<string, unknown>> | null }
  /** Send again at once, on this version: the service holds an earlier edition of mine, or lost the record. */
  | { readonly kind: "again"; readonly base: number | null }
  /** Parked with the reason; the others go on. */
  | { readonly kind: "park"; readonly problem: Problem; readonly theirs: Readonly<Record<string, unknown>> | null }
  /** Try later. `stop` says whether the others should wait too, and how long. */
  | { readonly kind: "later"; readonly waitMs: number; readonly problem: Problem | null; readonly stop: "no" | "round" | "pause" }
  /** Keep everything, ask to sign in. Does not count as a try. */
  | { readonly kind: "sign_in" };

const problemOf = ({ code, status, title, detail, errors }: ProblemDetails): Problem => ({ code, status, title, detail, errors });

const isServed = (body: unknown): body is Readonly<Record<string, unknown>> => typeof body === "object" && body !== null;

/** What an answer to a sent entry means. */
export function judge(entry: QueueEntry, answer: Answer, random: number): Outcome {
  switch (answer.kind) {
    case "done":
      return judgeDone(entry, answer.body, random);
    case "signed_out":
      return { kind: "sign_in" };
    case "unreachable":
      return { kind: "later", waitMs: backoffMs(entry.attempts, random), problem: null, stop: "round" };
    case "troubled":
      return {
        kind: "later",
        waitMs: waitMs(entry.attempts, random, answer.retryAfterMs),
        problem: { code: "troubled", status: answer.status, title: "", detail: answer.detail, errors: [] },
        // 429 and 503 speak for the whole service; other failures may be this record's alone.
        stop: answer.status === 429 || answer.status === 503 ? "pause" : "no",
      };
    case "refused":
      return judgeRefused(entry, answer.problem);
  }
}

function judgeDone(entry: QueueEntry, body: unknown, random: number): Outcome {
  if (entry.act === "photo") {
    const is = isServed(body) && (body["sha256"] === undefined || body["sha256"] === entry.record_id);
    if (is) return { kind: "through", record: null };
  } else if (isServed(body) && body["id"] === entry.record_id) {
    return { kind: "through", record: body };
  }
  // Something answered 200, but it was not the service speaking of this record. Believing it would lose the record.
  return {
    kind: "later",
    waitMs: backoffMs(entry.attempts, random),
    problem: { code: "strange_answer", status: 200, title: "", detail: "", errors: [] },
    stop: "no",
  };
}

function judgeRefused(entry: QueueEntry, problem: ProblemDetails): Outcome {
  const park = { kind: "park", problem: problemOf(problem), theirs: problem.current } as const;
  // A service restored from an older copy does not know the version this edit began from. The record is still
  // whole here, so it is sent as a new one; its id keeps it from being there twice.
  if (problem.status === 404 && entry.act === "put" && entry.base !== null) return { kind: "again", base: null };
  const isVersionQuestion = problem.status === 412 || problem.status === 428;
  if (!isVersionQuestion || entry.act !== "put" || problem.current === null || entry.body === null) return park;
  const decision = reconcile(
    { member_id: entry.member_id, body: entry.body, tried: entry.tried },
    problem.current,
  );
  switch (decision.kind) {
    case "already_there":
      return { kind: "through", record: problem.current };
    case "on_top":
      return { kind: "again", base: decision.base };
    case "needs_you":
      return park;
  }
}
