/** Signing in and out, for screens. Everything else works without asking who is there: see useSyncStatus. */

import type { ServiceRead } from "../api/session";
import { db } from "../store/db";
import { letThumbsGo } from "../store/thumbs";
import { lock, nudge, transport } from "./loop";
import {
  askService, countWaiting, joinWith, signInWith, signOutWith, type JoinFields, type SignInFields, type SignInResult,
} from "./signing";

export type { JoinFields, SignInFields, SignInResult } from "./signing";

/** What comes of a new session: small pictures go if they are another member's, and a round begins. */
async function entered(enter: () => Promise<SignInResult>): Promise<SignInResult> {
  const before = await db.note("catalogue_of");
  const result = await enter();
  if (result.kind === "in") {
    if ((await db.note("catalogue_of")) !== before) await letThumbsGo();
    void nudge("signed_in");
  }
  return result;
}

export const signIn = (fields: SignInFields): Promise<SignInResult> => entered(() => signInWith({ db, transport, lock }, fields));

/** Joins the club of an invitation and signs in. */
export const join = (token: string, fields: JoinFields): Promise<SignInResult> =>
  entered(() => joinWith({ db, transport, lock }, token, fields));

/** Signs out. Ask `countOwnWaiting` first and warn: what waits stays here until this member signs in again. */
export async function signOut(): Promise<void> {
  await signOutWith({ db, lock });
  // Pictures of the club's stones leave with its records.
  await letThumbsGo();
  void nudge("asked");
}

export const countOwnWaiting = (): Promise<number> => countWaiting(db);

export const readServiceInfo = (): Promise<ServiceRead | null> => askService(transport);

/** What was typed at the last sign-in on this phone, the password apart. */
export const readLastSignIn = () => db.note("last_sign_in");
