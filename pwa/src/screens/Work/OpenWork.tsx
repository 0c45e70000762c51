import { useEffect, useState } from "preact/hooks";
import { useLive } from "../../store/live";
import { workLink as say } from "../../words/work";
import type { OpenCount } from "./read";
import styles from "./line.module.css";

type Count = (stoneId: string | null) => Promise<OpenCount>;

/** A dealer may have repaired a whole lot; the work list has the rest. */
const shownAgain = 3;

/**
 * A line that says how much is open and leads to the list; nothing while nothing is. The counting needs the rules and
 * their geometry, so it comes after the first paint of the screen that shows this line.
 */
export function OpenWork({ stoneId = null }: { readonly stoneId?: string | null }) {
  const [count, setCount] = useState<Count | null>(null);
  useEffect(() => {
    void import("./read").then((read) => setCount(() => read.countWork));
  }, []);
  const open = useLive(async () => (count === null ? null : count(stoneId)), [count, stoneId]);
  if (!open || open.items === 0) return null;
  const line = (
    <a class={styles.line} href={stoneId === null ? "/work" : `/work?stone=${stoneId}`}>
      <strong>{stoneId === null ? say.openOn(open.items, open.stones) : say.open(open.items)}</strong>
      <span>{say.see}</span>
    </a>
  );
  if (stoneId !== null || open.again.length === 0) return line;
  return (
    <>
      {line}
      <div class={styles.again}>
        <p>{say.lookAgain}</p>
        {open.again.slice(0, shownAgain).map(({ id, code }) => (
          <a key={id} class="button" href={`/stones/${id}/inspect`}>{say.inspectAgain(code)}</a>
        ))}
        {open.again.length > shownAgain && <a href="/work">{say.moreAgain(open.again.length - shownAgain)}</a>}
      </div>
    </>
  );
}
