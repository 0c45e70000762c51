/** Signing in and out, for screens. Everything else works without asking who is there: see useSyncStatus. */

import type { ServiceRead } from "../api/session";
import { db } from "../store/db";
import { lock, nudge, transport } from "./loop";
import {
  askService, countWaiting, joinWith, signInWith, signOutWith, type JoinFields, type SignInFields, type SignInResult,
} from "./signing";

export type { JoinFields, SignInFields, SignInResult } from "./signing";

export async function signIn(fields: SignInFields): Promise<SignInResult> {
  const result = await signInWith({ db, transport, lock }, fields);
  if (result.kind === "in") void nudge("signed_in");
  return result;
}

/** Joins the club of an invitation and signs in. */
export async function join(token: string, fields: JoinFields): Promise<SignInResult> {
  const result = await joinWith({ db, transport, lock }, token, fields);
  if (result.kind === "in") void nudge("signed_in");
  return result;
}

/** Signs out. Ask `countOwnWaiting` first and warn: what waits stays here until this member signs in again. */
export async function signOut(): Promise<void> {
  await signOutWith({ db, lock });
  void nudge("asked");
}

export const countOwnWaiting = (): Promise<number> => countWaiting(db);

export const readServiceInfo = (): Promise<ServiceRead | null> => askService(transport);

/** What was typed at the last sign-in on this phone, the password apart. */
export const readLastSignIn = () => db.note("last_sign_in");
