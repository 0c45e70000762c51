/** Who works on this phone: signing in, signing out, and being remembered without a signal. */

import { joinClub, openSession, readService, type SessionRead, type ServiceRead } from "../api/session";
import type { Answer } from "../api/errors";
import type { Transport } from "../api/transport";
import { db as theDb, type Session, type WhetpanelDb } from "../store/db";
import { entriesOf, ownerOf } from "../store/outbox";
import { catalogueOf, restartCatalogue } from "../store/pulled";
import type { Lock } from "./lock";

export type SignInResult =
  | { readonly kind: "in" }
  | { readonly kind: "wrong"; readonly detail: string }
  | { readonly kind: "too_many"; readonly retryAfterMs: number | null }
  | { readonly kind: "refused"; readonly detail: string; readonly errors: readonly { readonly field: string; readonly message: string }[] }
  | { readonly kind: "unreachable" }
  | { readonly kind: "troubled" };

export interface SignInFields {
  readonly club: string;
  readonly sign_in_name: string;
  readonly password: string;
}

export interface JoinFields {
  readonly display_name: string;
  readonly sign_in_name: string;
  readonly password: string;
}

interface SessionParts {
  readonly db: WhetpanelDb;
  readonly transport: Transport;
  readonly lock: Lock;
}

const isSession = (body: unknown): body is SessionRead =>
  typeof body === "object" && body !== null && "member" in body && "club" in body && "view" in body;

function failed(answer: Exclude<Answer, { kind: "done" }>): SignInResult {
  switch (answer.kind) {
    case "signed_out":
      return { kind: "wrong", detail: answer.problem?.detail ?? "" };
    case "troubled":
      return answer.status === 429 ? { kind: "too_many", retryAfterMs: answer.retryAfterMs } : { kind: "troubled" };
    case "unreachable":
      return { kind: "unreachable" };
    case "refused":
      return { kind: "refused", detail: answer.problem.detail, errors: answer.problem.errors };
  }
}

/** Ends a round that runs, after the request that is on its way, so that nobody waits for forty photos. */
async function stopSending(db: WhetpanelDb): Promise<Session | null> {
  const session = await db.note("session");
  if (session !== null) await db.keep("session", { ...session, signed_in: false });
  return session;
}

/**
 * Takes a new session and remembers the member here. Under the sync lock: between the new cookie and the new session
 * no tab may send, or one member's records would arrive as another's.
 */
async function enter(
  { db, lock }: SessionParts,
  ask: () => Promise<Answer>,
  typed: { readonly club: string | null; readonly sign_in_name: string },
): Promise<SignInResult> {
  // Should this tab die between the new cookie and the new session, nobody counts as signed in, rather than the
  // last member with the next one's cookie.
  const before = await stopSending(db);
  return lock(async () => {
    const answer = await ask();
    if (answer.kind !== "done") {
      if (before !== null) await db.keep("session", before);
      return failed(answer);
    }
    if (!isSession(answer.body)) return { kind: "troubled" };
    const { member, club, view } = answer.body;
    const session: Session = {
      member: { id: member.id, display_name: member.display_name, roles: member.roles },
      club: { id: club.id, name: club.name, slug: club.slug, invented: club.invented },
      view,
      signed_in: true,
    };
    const whose = catalogueOf(session);
    // What the last member could see is not for the next one. The queue stays; it has its owner's name on it.
    if ((await db.note("catalogue_of")) !== whose) await restartCatalogue(db, whose);
    await db.transaction("rw", db.meta, async () => {
      await db.keep("session", session);
      await db.keep("sign_out_owed", false);
      await db.keep("last_sign_in", { club: typed.club ?? club.slug, sign_in_name: typed.sign_in_name });
      const notes = await db.note("sync");
      await db.keep("sync", { pulled_at: notes?.pulled_at ?? null, trouble: null, paused_until: null });
    });
    return { kind: "in" };
  });
}

/** Signs in and remembers the member here. */
export function signInWith(parts: SessionParts, fields: SignInFields): Promise<SignInResult> {
  const { club, sign_in_name, password } = fields;
  const ask = () => openSession(parts.transport, { club: club === "" ? null : club, sign_in_name, password, device: null });
  return enter(parts, ask, { club, sign_in_name });
}

/** Joins the club of an invitation, which also signs in. */
export function joinWith(parts: SessionParts, token: string, fields: JoinFields): Promise<SignInResult> {
  const ask = () => joinClub(parts.transport, token, { ...fields, device: null });
  return enter(parts, ask, { club: null, sign_in_name: fields.sign_in_name });
}

/** How many own records still wait here. Signing out with some leaves them, but they go only when signed in again. */
export async function countWaiting(db: WhetpanelDb = theDb): Promise<number> {
  const session = await db.note("session");
  if (session === null) return 0;
  return (await entriesOf(db, ownerOf(session))).filter((entry) => entry.state !== "set_aside").length;
}

/**
 * Signs out on this phone at once and tells the service as soon as it can be reached. The service's records
 * leave the phone; the member's own queue, drafts and photos stay for the next sign-in.
 */
export async function signOutWith({ db, lock }: Omit<SessionParts, "transport">): Promise<void> {
  await stopSending(db);
  await lock(async () => {
    await restartCatalogue(db, "");
    await db.transaction("rw", db.meta, async () => {
      await db.meta.delete("session");
      await db.meta.delete("sync");
      await db.keep("sign_out_owed", true);
    });
  });
}

/** What the service says of itself; null when it cannot be reached. */
export async function askService(transport: Transport): Promise<ServiceRead | null> {
  const answer = await readService(transport);
  if (answer.kind !== "done" || typeof answer.body !== "object" || answer.body === null) return null;
  return "api" in answer.body ? (answer.body as ServiceRead) : null;
}
