/** Mine and theirs: what to do when the service already holds a record under the id of mine. Pure. */

import { sameJson, sameTime } from "../domain/same";

export interface Mine {
  readonly member_id: string;
  /** What the member wants the record to be. */
  readonly body: Readonly<Record<string, unknown>>;
  /** recorded_at of editions of mine that the service may hold (store/db.ts). */
  readonly tried: readonly string[];
}

export type Theirs = Readonly<Record<string, unknown>>;

export type Decision =
  /** The service holds what I want already: my answer was lost, or another device of mine was first. */
  | { readonly kind: "already_there" }
  /** The service holds an earlier edition of mine and nothing of anybody else: go on top of it. */
  | { readonly kind: "on_top"; readonly base: number }
  /** Somebody else's change would be lost. Only the member can decide. */
  | { readonly kind: "needs_you" };

export function reconcile(mine: Mine, theirs: Theirs): Decision {
  const version = theirs["version"];
  if (typeof version !== "number") return { kind: "needs_you" };
  if (theirs["withdrawn"] === null && holdsAll(mine.body, theirs)) return { kind: "already_there" };
  const theirEdition = theirs["recorded_at"];
  const isMyEdition =
    theirs["withdrawn"] === null &&
    theirs["updated_by"] === mine.member_id &&
    typeof theirEdition === "string" &&
    mine.tried.some((edition) => sameTime(edition, theirEdition));
  return isMyEdition ? { kind: "on_top", base: version } : { kind: "needs_you" };
}

/** Every field I set has my value there; fields the service adds do not count. */
function holdsAll(body: Readonly<Record<string, unknown>>, theirs: Theirs): boolean {
  return Object.entries(body).every(([name, value]) => sameJson(value, theirs[name]));
}
