import { state as say } from "../../words/parts";
import styles from "./style.module.css";

/** Where a record of one's own stands. */
export type RecordState = "draft" | "waiting" | "sent" | "needs_you";

/**
 * A record's state in a word and a shape: an outline for a draft, a hanging drop for waiting,
 * a mark lying flat for sent, a notch pointing at you when it needs you.
 */
export function StateBadge({ state }: { state: RecordState }) {
  return (
    <span class={`${styles.badge} ${styles[state]}`}>
      <svg class={styles.sign} viewBox="0 0 16 16" aria-hidden="true">{signs[state]}</svg>
      {say[state]}
    </span>
  );
}

const signs = {
  draft: <rect class={styles.open} x="2" y="3" width="12" height="10" stroke-dasharray="3 2" />,
  waiting: <path class={styles.open} d="M8 1.5C10.6 5 12.5 7.4 12.5 10a4.5 4.5 0 0 1-9 0C3.5 7.4 5.4 5 8 1.5Z" />,
  sent: <path class={styles.line} d="M1.5 8.5 6 13 14.5 3.5" />,
  needs_you: <path class={styles.full} d="M1 2h14L8 14.5Z" />,
} as const;
