/** Which rows of a long list are on the screen, with some to spare above and below. Pure. */
export function visibleRows(
  list: { top: number; rowPx: number; count: number },
  window: { scroll: number; height: number },
  spare: number,
): { from: number; to: number } {
  const first = Math.floor((window.scroll - list.top) / list.rowPx) - spare;
  const last = Math.ceil((window.scroll + window.height - list.top) / list.rowPx) + spare;
  return { from: Math.min(list.count, Math.max(0, first)), to: Math.min(list.count, Math.max(0, last)) };
}
