import type { StoneState } from "./state";
import styles from "./style.module.css";

/** The same four shapes wherever a stone's state is told: a notch, an open lens, an empty and a full field. */
export function StandingSign({ state }: { state: StoneState }) {
  return (
    <svg class={styles.sign} viewBox="0 0 16 16" aria-hidden="true">
      {state === "needs_hand" && <path fill="currentColor" d="M1 2h14L8 14.5Z" />}
      {state === "to_inspect" && (
        <g fill="none" stroke="currentColor" stroke-width="1.75">
          <circle cx="7" cy="7" r="5" />
          <path d="m10.8 10.8 4 4" />
        </g>
      )}
      {state === "not_tried" && <rect x="2" y="4" width="12" height="8" fill="none" stroke="currentColor" stroke-width="1.75" />}
      {state === "tried" && <rect x="1.5" y="3.5" width="13" height="9" fill="currentColor" />}
    </svg>
  );
}
