/** Which photos a phone should hold before anybody looks at them, so that they are there without a signal. Pure. */

import type { PhotoUse } from "./records";

/** Photos of one stone, told by a record of it. */
export interface Pictured {
  readonly stone_id: string;
  readonly photos: readonly Pick<PhotoUse, "sha256">[];
  /** The club's counter at the record's last change: the higher, the newer. */
  readonly revision: number;
}

export interface AheadBudget {
  /** Photos in all. */
  readonly most: number;
  /** Photos of a stone in the member's hands or asked for. */
  readonly ofNear: number;
  /** Photos of any other stone. */
  readonly ofOther: number;
}

/**
 * Hashes, the most useful first. Stones in the member's hands or asked for come before all others, the others by
 * their latest change. Within each of the two groups every stone gets its newest photo before any gets its second:
 * a member who takes along six stones is better off with one photo of each than with six of one.
 */
export function photosAhead(records: readonly Pictured[], near: ReadonlySet<string>, budget: AheadBudget): string[] {
  const newest = new Map<string, string[]>();
  const seen = new Set<string>();
  for (const { stone_id, photos } of [...records].sort((a, b) => b.revision - a.revision)) {
    for (const { sha256 } of photos) {
      if (seen.has(sha256)) continue;
      seen.add(sha256);
      const own = newest.get(stone_id);
      if (own === undefined) newest.set(stone_id, [sha256]);
      else own.push(sha256);
    }
  }
  const wanted: string[] = [];
  for (const isNear of [true, false]) {
    const stones = [...newest].filter(([id]) => near.has(id) === isNear).map(([, photos]) => photos);
    const depth = isNear ? budget.ofNear : budget.ofOther;
    for (let n = 0; n < depth; n += 1) {
      for (const photos of stones) {
        const photo = photos[n];
        if (photo !== undefined) wanted.push(photo);
      }
    }
  }
  return wanted.slice(0, budget.most);
}
