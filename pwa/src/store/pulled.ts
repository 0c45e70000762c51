/** How the catalogue is filled: whole pages of changes, each with its cursor, in one transaction. */

import type { Thing } from "../domain/records";
import { catalogueTables, tableNames, tableOf, type Session, type WhetpanelDb } from "./db";

export interface PulledChange {
  readonly thing: string;
  readonly id: string;
  readonly revision: number;
  readonly record: Readonly<Record<string, unknown>>;
}

/** Whose catalogue a session needs. Another club, member or view must not see what this one held. */
export const catalogueOf = (session: Session): string =>
  [session.club.id, session.member.id, session.view].join(" ");

const things = Object.keys(tableNames) as Thing[];

/** Empties the catalogue and begins it anew. The queue, drafts and photos taken here are not touched. */
export async function restartCatalogue(db: WhetpanelDb, whose: string): Promise<void> {
  await db.transaction("rw", [...catalogueTables, "meta"], async () => {
    for (const name of catalogueTables) await db.table(name).clear();
    await db.keep("cursor", 0);
    await db.keep("catalogue_of", whose);
  });
}

/**
 * Takes a page in. Only if the cursor still stands where the page was asked from; else another tab went on
 * meanwhile and the page is left. Answers whether it was taken.
 */
export async function applyPage(
  db: WhetpanelDb,
  page: { readonly changes: readonly PulledChange[]; readonly next_after: number },
  after: number,
): Promise<boolean> {
  return db.transaction("rw", [...catalogueTables, "meta"], async () => {
    if (((await db.note("cursor")) ?? 0) !== after) return false;
    // A newer service may know kinds of record that this version does not; they come with the update.
    for (const thing of things) {
      const changes = page.changes.filter((change) => change.thing === thing);
      const table = tableOf(db, thing);
      const held = await table.bulkGet(changes.map((change) => change.id));
      const fresh = changes.filter((change, i) => (held[i]?.revision ?? -1) <= change.revision);
      await table.bulkPut(fresh.map(({ record, id, revision }) => ({ ...record, id, revision })) as never[]);
    }
    await db.keep("cursor", page.next_after);
    return true;
  });
}
