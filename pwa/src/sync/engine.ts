/**
 * Carries the queue to the service and the service's changes back. Store, transport, clock and chance are
 * passed in. One round: send what is due, then fetch what is new. A round may die at any line (a closed tab,
 * an empty battery) and the next one goes on from the store alone.
 */

import type { Answer } from "../api/errors";
import type { Transport } from "../api/transport";
import { changesPageSize } from "../constants";
import type { QueueEntry, Session, SyncNotes, Trouble, WhetpanelDb } from "../store/db";
import { changeEntry, entriesOf, ownerOf, resumeCutOff, settleEntry, tryNow, versionOf } from "../store/outbox";
import { applyPage, catalogueOf, restartCatalogue, type PulledChange } from "../store/pulled";
import { backoffMs, isPaused, judge, nextToSend, waitMs, type Outcome } from "./decide";
import type { Lock } from "./lock";
import { sendPhoto } from "./photo_pieces";

export interface EngineParts {
  readonly db: WhetpanelDb;
  readonly transport: Transport;
  /** ms since 1970, by a clock that may jump. */
  readonly now: () => number;
  /** A number from 0 up to 1. */
  readonly random: () => number;
  readonly lock: Lock;
}

/** Why a round is asked for. A member who asks, or a signal that came back, does not wait for a backoff. */
export type Reason = "start" | "saved" | "timer" | "online" | "asked" | "signed_in";

export interface Engine {
  round(reason: Reason): Promise<void>;
}

const quiet: SyncNotes = { pulled_at: null, trouble: null, paused_until: null };

type Served = Readonly<Record<string, unknown>> & { readonly id: string; readonly revision: number };
const asServed = (record: Readonly<Record<string, unknown>> | null): Served | null =>
  typeof record?.["id"] === "string" && typeof record["revision"] === "number" ? (record as Served) : null;

interface Page {
  readonly changes: readonly PulledChange[];
  readonly next_after: number;
  readonly more: boolean;
  readonly view: string;
}

function readPage(body: unknown): Page | null {
  if (typeof body !== "object" || body === null) return null;
  const page = body as Partial<Page>;
  const whole = Array.isArray(page.changes) && typeof page.next_after === "number" && typeof page.view === "string";
  return whole ? (page as Page) : null;
}

/** To read a long queue anew for every record would take longer than to send it. */
const rereadAfterSends = 25;

export function makeEngine(parts: EngineParts): Engine {
  const { db, transport, now, random, lock } = parts;
  /** Rounds in a row that met no service. Forgotten at a reload, which is a fair moment to try again. */
  let stumbles = 0;
  /** The cookie's member was compared with the session's. */
  let known = false;

  const notes = async (): Promise<SyncNotes> => (await db.note("sync")) ?? quiet;
  const take = async (change: Partial<SyncNotes>): Promise<void> => db.keep("sync", { ...(await notes()), ...change });

  async function stumble(trouble: Trouble, pauseMs: number): Promise<void> {
    stumbles += 1;
    await take({ trouble, paused_until: now() + pauseMs });
  }

  async function signedOut(): Promise<void> {
    const session = await db.note("session");
    if (session !== null) await db.keep("session", { ...session, signed_in: false });
    await take({ trouble: "signed_out", paused_until: null });
  }

  async function send(entry: QueueEntry): Promise<Answer | "gone"> {
    if (entry.act === "photo") {
      const photo = await db.photo_blobs.get(entry.record_id);
      if (photo === undefined) return "gone";
      return sendPhoto(transport, entry.path, photo);
    }
    if (entry.act === "put") {
      const json = { ...entry.body, recorded_at: entry.recorded_at };
      return transport({ method: "PUT", path: entry.path, json, ifMatch: entry.base });
    }
    const body = entry.body === null ? {} : { json: entry.body };
    return transport({ method: "POST", path: entry.path, ...body, ifMatch: entry.base });
  }

  /** What becomes of the entry as it stands now, which may be a later edition than the one that was sent. */
  function settle(sent: QueueEntry, outcome: Outcome) {
    const without = (tried: readonly string[]): string[] => tried.filter((edition) => edition !== sent.recorded_at);
    return (entry: QueueEntry): Partial<QueueEntry> | "remove" => {
      const edited = entry.edition !== sent.edition;
      switch (outcome.kind) {
        case "through":
          return edited
            ? { state: "waiting", base: versionOf(outcome.record) ?? entry.base, tried: [], attempts: 0, next_try_at: null, problem: null, theirs: null }
            : "remove";
        case "again":
          return { state: "waiting", base: outcome.base, next_try_at: null, problem: null, theirs: null };
        case "park":
          return edited
            ? { state: "waiting", tried: without(entry.tried), attempts: 0, next_try_at: null }
            : { state: "needs_you", tried: without(entry.tried), problem: outcome.problem, theirs: outcome.theirs };
        case "later":
          return { state: "waiting", attempts: entry.attempts + 1, next_try_at: now() + outcome.waitMs, problem: outcome.problem };
        case "sign_in":
          return { state: "waiting", tried: without(entry.tried) };
      }
    };
  }

  /** Sends what is due. Answers whether the round should go on. */
  async function push(session: Session): Promise<boolean> {
    const owner = ownerOf(session);
    await resumeCutOff(db, owner);
    const done = new Set<number>();
    const repeated = new Set<number>();
    let failuresInARow = 0;
    let queue = await entriesOf(db, owner);
    let sends = 0;
    const look = async (sequence: number): Promise<QueueEntry | undefined> => {
      const entry = await db.outbox.get(sequence);
      queue = queue.flatMap((one) => (one.sequence !== sequence ? [one] : entry === undefined ? [] : [entry]));
      return entry;
    };
    for (;;) {
      // Whoever signs in or out meanwhile is not kept waiting, and nothing more goes out in this member's name.
      const present = await db.note("session");
      if (present?.signed_in !== true || present.member.id !== session.member.id) return false;
      const sequence = nextToSend(queue, now(), done)?.sequence;
      if (sequence === undefined ? sends > 0 : sends >= rereadAfterSends) {
        queue = await entriesOf(db, owner);
        sends = 0;
        continue;
      }
      if (sequence === undefined) return true;
      sends += 1;

      // What was read some records ago may have been set aside or sent by another tab since: the store has the word.
      const taken = await changeEntry(db, sequence, (entry) =>
        entry.state === "waiting"
          ? { state: "sending", tried: [...new Set([...entry.tried, entry.recorded_at])], tried_at: now() }
          : "leave");
      const sent = await look(sequence);
      if (!taken || sent === undefined) continue;
      const answer = await send(sent);
      if (answer === "gone") {
        // The bytes are lost (storage was cleared from outside). Say so; do not pretend it was sent.
        const problem = { code: "photo_lost", status: 0, title: "", detail: "", errors: [] };
        await changeEntry(db, sequence, () => ({ state: "needs_you", problem }));
        await look(sequence);
        continue;
      }
      const outcome = judge(sent, answer, random());
      const record = outcome.kind === "through" ? asServed(outcome.record) : null;
      await settleEntry(db, sequence, sent.thing, { record, change: settle(sent, outcome) });
      await look(sequence);

      if (outcome.kind === "sign_in") {
        await signedOut();
        return false;
      }
      if (outcome.kind === "again") {
        // Once in a round; two devices of one member editing at the same time must not chase each other.
        if (repeated.has(sequence)) done.add(sequence);
        repeated.add(sequence);
      }
      if (outcome.kind !== "later") {
        failuresInARow = 0;
        continue;
      }
      done.add(sequence);
      failuresInARow += 1;
      if (outcome.stop === "round") {
        await stumble("no_network", backoffMs(stumbles, random()));
        return false;
      }
      if (outcome.stop === "pause") {
        await stumble("server_trouble", outcome.waitMs);
        return false;
      }
      // One failing record is its own trouble; three different ones in a row are the service's.
      if (failuresInARow >= 3) {
        await stumble("server_trouble", backoffMs(stumbles, random()));
        return false;
      }
    }
  }

  /** Fetches what is new, page by page, each page and its cursor in one transaction. */
  async function pull(session: Session): Promise<void> {
    if ((await db.note("catalogue_of")) === null) await restartCatalogue(db, catalogueOf(session));
    for (;;) {
      const after = (await db.note("cursor")) ?? 0;
      const answer = await transport({ method: "GET", path: `/changes?after=${after}&limit=${changesPageSize}` });
      if (answer.kind === "signed_out") return signedOut();
      if (answer.kind === "troubled") {
        return stumble("server_trouble", waitMs(stumbles, random(), answer.retryAfterMs));
      }
      if (answer.kind === "unreachable") return stumble("no_network", backoffMs(stumbles, random()));
      const page = answer.kind === "done" ? readPage(answer.body) : null;
      if (page === null) return stumble("server_trouble", backoffMs(stumbles, random()));

      const whose = catalogueOf({ ...session, view: page.view });
      // A view that changed hides or shows other records; a cursor that went back means that the service was
      // restored from an older copy. In both cases the catalogue is fetched anew, and the queue stays.
      if ((await db.note("catalogue_of")) !== whose || page.next_after < after) {
        await restartCatalogue(db, whose);
        await db.keep("session", { ...session, view: page.view });
        if (after > 0) continue;
      }
      await applyPage(db, page, after);
      if (!page.more || page.next_after === after) break;
    }
    stumbles = 0;
    await rememberMember(session.member.id);
    await take({ pulled_at: new Date(now()).toISOString(), trouble: null, paused_until: null });
  }

  /** Name and roles may have changed since sign-in. */
  async function rememberMember(id: string): Promise<void> {
    await db.transaction("rw", db.members, db.meta, async () => {
      const served = await db.members.get(id);
      const session = await db.note("session");
      if (served === undefined || session?.member.id !== id) return;
      const { display_name, roles } = served;
      await db.keep("session", { ...session, member: { id, display_name, roles } });
    });
  }

  /**
   * Once in a tab's life: does the browser's cookie belong to the member this phone believes in? It could be
   * another's, if a tab died between signing in and noting it. Answers whether the round may go on.
   */
  async function isStillMe(session: Session): Promise<boolean> {
    const answer = await transport({ method: "GET", path: "/session" });
    if (answer.kind === "done") {
      const id = (answer.body as { readonly member?: { readonly id?: unknown } } | null)?.member?.id;
      known = true;
      if (id === session.member.id) return true;
      await signedOut();
      return false;
    }
    if (answer.kind === "signed_out") await signedOut();
    else if (answer.kind === "troubled") await stumble("server_trouble", waitMs(stumbles, random(), answer.retryAfterMs));
    else await stumble("no_network", backoffMs(stumbles, random()));
    return false;
  }

  async function tellSignOut(): Promise<boolean> {
    if ((await db.note("sign_out_owed")) !== true) return true;
    const answer = await transport({ method: "DELETE", path: "/session" });
    if (answer.kind !== "done" && answer.kind !== "signed_out") return false;
    await db.keep("sign_out_owed", false);
    return true;
  }

  return {
    round: (reason) =>
      lock(async () => {
        if (!(await tellSignOut())) return;
        const session = await db.note("session");
        if (session?.signed_in !== true) return;
        const { trouble, paused_until } = await notes();
        const eager = reason === "asked" || reason === "online" || reason === "signed_in";
        // A pause the service asked for is kept even when a member asks: it is the service's word.
        if (isPaused(paused_until, now()) && !(eager && trouble === "no_network")) return;
        if (eager) await tryNow(db, ownerOf(session));
        if (!known && !(await isStillMe(session))) return;
        if (await push(session)) await pull(session);
      }),
  };
}
