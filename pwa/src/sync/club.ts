/**
 * Running a club: invitations and passwords. These are acts of the moment that mean nothing later, so they go to the
 * service at once and are never queued; without a signal they say so. Members themselves are records like any other.
 */

import { readInvitation } from "../api/session";
import type { components } from "../api/schema";
import type { Role } from "../domain/records";
import { transport } from "./loop";
import { viewOf, type View } from "./views";

type Schemas = components["schemas"];
export type Invitation = Schemas["InvitationRead"];
/** With its link and QR code, which are told once. */
export type NewInvitation = Schemas["NewInvitationRead"];
export type Joining = Schemas["JoiningRead"];

export const invite = async (display_name: string, roles: readonly Role[]): Promise<View<NewInvitation>> =>
  viewOf(await transport({ method: "POST", path: "/invitations", json: { display_name, roles } }));

export const readInvitations = async (): Promise<View<{ readonly items: readonly Invitation[] }>> =>
  viewOf(await transport({ method: "GET", path: "/invitations" }));

export const withdrawInvitation = async (id: string): Promise<View<null>> =>
  viewOf(await transport({ method: "POST", path: `/invitations/${id}/withdraw`, json: {} }));

/** Sets a member's password; that member's other sessions end. */
export const setPassword = async (memberId: string, password: string): Promise<View<null>> =>
  viewOf(await transport({ method: "POST", path: `/members/${memberId}/password`, json: { password } }));

/** Who is invited to which club; needs no session, only the link. */
export const readJoining = async (token: string): Promise<View<Joining>> => viewOf(await readInvitation(transport, token));
