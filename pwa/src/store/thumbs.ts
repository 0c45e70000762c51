/** The small pictures that the worker keeps (sw/to-cache.ts). They can be fetched again, so they are the first to go. */

import { apiBase, thumbCacheName } from "../constants";

export const thumbPath = (sha256: string): string => `${apiBase}/photos/${sha256}/thumb`;

/** Plain http addresses have no caches. */
const store = (): CacheStorage | null => ("caches" in globalThis ? caches : null);

/** Which of these are kept. Asked of the cache itself, so that asking does not count as looking at them. */
export async function heldThumbs(hashes: readonly string[]): Promise<ReadonlySet<string>> {
  const cache = await store()?.open(thumbCacheName);
  if (cache === undefined) return new Set();
  const kept = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  return new Set(hashes.filter((sha256) => kept.has(thumbPath(sha256))));
}

export interface ThumbStock {
  readonly count: number;
  readonly bytes: number;
}

export async function readThumbStock(): Promise<ThumbStock> {
  const cache = await store()?.open(thumbCacheName);
  const answers = cache === undefined ? [] : await cache.matchAll();
  let bytes = 0;
  // One by one: together they could be more than a small phone's memory.
  for (const answer of answers) bytes += (await answer.blob()).size;
  return { count: answers.length, bytes };
}

/** Lets them all go: for room, or because the next one on this phone is somebody else. Answers whether there were any. */
export async function letThumbsGo(): Promise<boolean> {
  const present = store();
  if (present === null) return false;
  const cache = await present.open(thumbCacheName);
  const any = (await cache.keys()).length > 0;
  await present.delete(thumbCacheName);
  return any;
}
