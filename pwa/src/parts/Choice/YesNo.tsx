import { useId } from "preact/hooks";
import { yesNo as say } from "../../words/parts";
import styles from "./style.module.css";

/**
 * A question in one row with Yes and No; neither is set until tapped, and a second tap takes the
 * answer back. For long lists of probes, where a full choice would fill the screen.
 */
export function YesNo(props: { name: string; help?: string; value: boolean | null; onSet: (value: boolean | null) => void }) {
  const id = useId();
  const button = (value: boolean, words: string) => (
    <button
      type="button"
      class={`${styles.pill} ${props.value === value ? styles.pillOn : ""}`}
      aria-pressed={props.value === value}
      onClick={() => props.onSet(props.value === value ? null : value)}
    >
      {words}
    </button>
  );
  return (
    <div class={styles.question} role="group" aria-labelledby={id}>
      <span>
        <span id={id}>{props.name}</span>
        {props.help && <span class={styles.small}>{props.help}</span>}
      </span>
      <span class={styles.pair}>{button(true, say.yes)}{button(false, say.no)}</span>
    </div>
  );
}
