import type { RefObject } from "preact";
import { useCallback, useLayoutEffect, useRef, useState } from "preact/hooks";

const spareRows = 6;

export interface Window {
  readonly box: RefObject<HTMLDivElement | null>;
  readonly from: number;
  readonly to: number;
  readonly rowPx: number;
  readonly look: () => void;
  /** Scrolls so that a row is in sight, and has it drawn. */
  readonly reveal: (row: number) => void;
}

/** Which rows of a scrolling box exist: those in sight and a few on either side. Rows are equally high; `headRows` stick above. */
export function useWindow(count: number, rowRem: number, headRows = 0): Window {
  const box = useRef<HTMLDivElement>(null);
  const rowPx = rowRem * parseFloat(getComputedStyle(document.documentElement).fontSize);
  const [span, setSpan] = useState({ from: 0, to: 24 });

  const look = useCallback(() => {
    const { scrollTop = 0, clientHeight = 600 } = box.current ?? {};
    const from = Math.max(0, Math.floor(scrollTop / rowPx) - spareRows);
    const to = Math.ceil((scrollTop + clientHeight) / rowPx) + spareRows;
    setSpan((now) => (now.from === from && now.to === to ? now : { from, to }));
  }, [rowPx]);

  useLayoutEffect(() => {
    look();
    window.addEventListener("resize", look);
    return () => window.removeEventListener("resize", look);
  }, [look, count]);

  const reveal = useCallback((row: number) => {
    const { current } = box;
    if (current === null) return;
    const top = row * rowPx;
    const room = current.clientHeight - (headRows + 1) * rowPx;
    if (top < current.scrollTop) current.scrollTop = top;
    else if (top > current.scrollTop + room) current.scrollTop = top - room;
    look();
  }, [rowPx, headRows, look]);

  return { box, from: Math.min(span.from, Math.max(0, count - 1)), to: Math.min(span.to, count), rowPx, look, reveal };
}
