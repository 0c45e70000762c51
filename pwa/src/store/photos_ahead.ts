/** What the catalogue says of photos worth holding before they are looked at. */

import { openAssignments, lastHandOvers } from "../domain/assignments";
import { photosAhead, type AheadBudget, type Pictured } from "../domain/photos_ahead";
import { db as theDb, type WhetpanelDb } from "./db";

const stands = ({ withdrawn }: { readonly withdrawn: unknown }): boolean => withdrawn === null;

/** Hashes of photos on the service, the most useful to this member first. Photos taken on this phone are here anyway. */
export async function readPhotosAhead(budget: AheadBudget, db: WhetpanelDb = theDb): Promise<string[]> {
  const me = (await db.note("session"))?.member.id ?? "";
  const [stones, inspections, trials, repairs, assignments, handOvers, protocols, blades] = await Promise.all([
    db.stones.toArray(), db.inspections.toArray(), db.trials.toArray(), db.repairs.toArray(),
    db.assignments.where("tester_id").equals(me).toArray(), db.hand_overs.toArray(), db.protocols.toArray(), db.blades.toArray(),
  ]);
  const pictured: Pictured[] = [
    ...stones.filter(stands).map(({ id, photos, revision }) => ({ stone_id: id, photos, revision })),
    ...[...inspections, ...trials, ...repairs].filter(stands),
  ];
  const own = trials.filter(({ created_by }) => created_by === me);
  const near = new Set([
    ...openAssignments(assignments, own, { protocols, blades }).map(({ stone_id }) => stone_id),
    ...[...lastHandOvers(handOvers).values()].filter(({ holder_id }) => holder_id === me).map(({ stone_id }) => stone_id),
  ]);
  const here = new Set(await db.photo_blobs.toCollection().primaryKeys());
  return photosAhead(pictured, near, budget).filter((sha256) => !here.has(sha256));
}
