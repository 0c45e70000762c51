import type { StandingName } from "../../domain/board";
import styles from "./style.module.css";

/**
 * Each state's shape: a lens, a notch, a field half full, full, full with a seal in it, and one laid askew. The first
 * two are those of the list of stones.
 */
export function StandingMark({ state }: { readonly state: StandingName }) {
  return (
    <svg class={styles.sign} viewBox="0 0 16 16" aria-hidden="true">
      {state === "to_inspect" && (
        <g fill="none" stroke="currentColor" stroke-width="1.75">
          <circle cx="7" cy="7" r="5" />
          <path d="m10.8 10.8 4 4" />
        </g>
      )}
      {state === "to_repair" && <path fill="currentColor" d="M1 2h14L8 14.5Z" />}
      {state === "in_trial" && (
        <>
          <rect x="2" y="4" width="12" height="8" fill="none" stroke="currentColor" stroke-width="1.75" />
          <path fill="currentColor" d="M2 8h12v4H2z" />
        </>
      )}
      {state === "ready" && <rect x="1.5" y="3.5" width="13" height="9" fill="currentColor" />}
      {state === "published" && (
        <path fill="currentColor" fill-rule="evenodd" d="M1.5 2.5h13v11h-13zM8 5a3 3 0 1 0 0 6 3 3 0 0 0 0-6Z" />
      )}
      {state === "set_aside" && (
        <g fill="none" stroke="currentColor" stroke-width="1.75">
          <rect x="2.5" y="5" width="11" height="6" transform="rotate(-35 8 8)" stroke-dasharray="2.5 1.75" />
        </g>
      )}
    </svg>
  );
}

/** A hanging drop: something of one's own still waits on this phone. */
export function Drop() {
  return (
    <svg class={styles.sign} viewBox="0 0 16 16" aria-hidden="true">
      <path
        fill="none" stroke="currentColor" stroke-width="1.75"
        d="M8 1.5C10.6 5 12.5 7.4 12.5 10a4.5 4.5 0 0 1-9 0C3.5 7.4 5.4 5 8 1.5Z"
      />
    </svg>
  );
}
