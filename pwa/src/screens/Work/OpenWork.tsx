import { useEffect, useState } from "preact/hooks";
import { useLive } from "../../store/live";
import { workLink as say } from "../../words/work";
import styles from "./line.module.css";

type Count = (stoneId: string | null) => Promise<{ readonly items: number; readonly stones: number }>;

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
  return (
    <a class={styles.line} href={stoneId === null ? "/work" : `/work?stone=${stoneId}`}>
      <strong>{stoneId === null ? say.openOn(open.items, open.stones) : say.open(open.items)}</strong>
      <span>{say.see}</span>
    </a>
  );
}
