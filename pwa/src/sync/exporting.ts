/**
 * The club's records to take away, as files that the service makes. Needs a signal; nothing of it is kept on the phone.
 *
 *   const view = await readTables();            view.kind "here": value is the file to save
 */

import { exportTimeoutMs } from "../constants";
import { transport } from "./loop";
import { viewOf, type View } from "./views";

/** Records and pooled grades as an open data package (dealer, steward). */
export const readTables = async (): Promise<View<Blob>> =>
  viewOf(await transport({ method: "GET", path: "/export/data-package.zip", wants: "zip", timeoutMs: exportTimeoutMs }));

/** The whole club with photos and sign-ins (steward, with the own password once more). */
export const readClubBundle = async (password: string): Promise<View<Blob>> =>
  viewOf(await transport({ method: "POST", path: "/export/club.zip", json: { password }, wants: "zip", timeoutMs: exportTimeoutMs }));
