/** Signing in and out, and what is known of the service without signing in. */

import type { Transport } from "./transport";
import type { Answer } from "./errors";
import type { components } from "./schema";

export type ServiceRead = components["schemas"]["ServiceRead"];
export type SessionRead = components["schemas"]["SessionRead"];

export const readService = (transport: Transport): Promise<Answer> => transport({ method: "GET", path: "/service" });

export const openSession = (
  transport: Transport,
  fields: components["schemas"]["SessionWrite"],
): Promise<Answer> => transport({ method: "POST", path: "/session", json: fields });

export const closeSession = (transport: Transport): Promise<Answer> => transport({ method: "DELETE", path: "/session" });

/** Who is invited to which club, for somebody who holds the link. */
export const readInvitation = (transport: Transport, token: string): Promise<Answer> =>
  transport({ method: "GET", path: `/joining/${encodeURIComponent(token)}` });

export const joinClub = (transport: Transport, token: string, fields: components["schemas"]["JoiningWrite"]): Promise<Answer> =>
  transport({ method: "POST", path: `/joining/${encodeURIComponent(token)}`, json: fields });
