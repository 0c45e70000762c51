import type { ComponentChildren } from "preact";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import styles from "./style.module.css";
import { visibleRows } from "./window";

/** Rows drawn beyond the window on either side, so that a flick finds them ready. */
const spareRows = 8;
/** Rows are drawn anew only once fewer than this are left beyond the window: most frames of a scroll draw nothing. */
const leastSpareRows = 2;

/** Where each list was left, for whoever comes back to it as it was. */
const leftAt = new Map<string, { readonly place: string; readonly scroll: number }>();

/**
 * A list of any length in which only the rows near the window exist. Every row is equally high.
 *
 *   <LongList name="stones" place={search} rowRem={5.5} rows={rows} keyOf={(row) => row.id} draw={(row) => <Row row={row} />} />
 *
 * `place` says what is shown (the search, the filters): whoever comes back to the same place finds the list where it was.
 */
export function LongList<R>(props: {
  readonly name: string;
  readonly place: string;
  readonly rowRem: number;
  readonly rows: readonly R[];
  readonly keyOf: (row: R) => string;
  readonly draw: (row: R) => ComponentChildren;
  readonly label?: string;
}) {
  const { name, place, rowRem, rows } = props;
  const list = useRef<HTMLUListElement>(null);
  const rowPx = rowRem * parseFloat(getComputedStyle(document.documentElement).fontSize);
  const [span, setSpan] = useState({ from: 0, to: 30 });

  useEffect(() => {
    const look = (): void => {
      const top = (list.current?.getBoundingClientRect().top ?? 0) + window.scrollY;
      const at = [{ top, rowPx, count: rows.length }, { scroll: window.scrollY, height: window.innerHeight }] as const;
      const [needed, next] = [visibleRows(...at, leastSpareRows), visibleRows(...at, spareRows)];
      setSpan((now) => (now.from <= needed.from && needed.to <= now.to ? now : next));
    };
    look();
    window.addEventListener("scroll", look, { passive: true });
    window.addEventListener("resize", look);
    return () => {
      window.removeEventListener("scroll", look);
      window.removeEventListener("resize", look);
    };
  }, [rows.length, rowPx]);

  const filled = rows.length > 0;
  useLayoutEffect(() => {
    const left = leftAt.get(name);
    if (filled && left?.place === place) window.scrollTo(0, left.scroll);
    const remember = (): void => { leftAt.set(name, { place, scroll: window.scrollY }); };
    window.addEventListener("scrollend", remember);
    return () => window.removeEventListener("scrollend", remember);
  }, [name, place, filled]);

  return (
    <ul ref={list} class={styles.list} style={{ blockSize: `${rows.length * rowRem}rem` }} aria-label={props.label}>
      {rows.slice(span.from, span.to).map((row, i) => (
        <li
          key={props.keyOf(row)}
          class={styles.item}
          style={{ blockSize: `${rowRem}rem`, insetBlockStart: `${(span.from + i) * rowRem}rem` }}
          aria-setsize={rows.length}
          aria-posinset={span.from + i + 1}
        >
          <Drawn row={row} draw={props.draw} />
        </li>
      ))}
    </ul>
  );
}

/** A row that is drawn again only when it is another, not whenever its neighbours come and go. */
function Drawn<R>({ row, draw }: { readonly row: R; readonly draw: (row: R) => ComponentChildren }) {
  return useMemo(() => <>{draw(row)}</>, [row, draw]);
}
