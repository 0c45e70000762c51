/** A cheap sign that something changed, for reads too large to be done anew at every record that is sent. */

import type { Thing } from "../domain/records";
import { db as theDb, tableOf, type WhetpanelDb } from "./db";

/** Changes whenever records of these kinds come, go, wait or are sent; counting costs next to nothing. */
export async function readPulse(things: readonly Thing[], db: WhetpanelDb = theDb): Promise<string> {
  const counts = await Promise.all([db.outbox.count(), ...things.map((thing) => tableOf(db, thing).count())]);
  return `${counts.join(" ")} ${(await db.note("session"))?.member.id ?? ""}`;
}
