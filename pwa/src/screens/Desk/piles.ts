/** How piles of stones stand for counts. Pure. */
export const mostSlabs = 8;

/** So many stones to a slab that the highest pile has eight at the most; a round figure where there are many. */
export function stonesPerSlab(counts: readonly number[]): number {
  const least = Math.max(1, Math.ceil(Math.max(0, ...counts) / mostSlabs));
  const step = least <= 10 ? 1 : least <= 50 ? 5 : least <= 100 ? 10 : 50;
  return Math.ceil(least / step) * step;
}

/** One stone is a slab already: a pile is empty only where there is none. */
export const slabsOf = (count: number, perSlab: number): number => Math.ceil(count / perSlab);
