import { standings, type StandingName } from "../../domain/board";
import { desk as say } from "../../words/desk";
import { StandingMark } from "./Signs";
import { slabsOf, stonesPerSlab } from "./piles";
import styles from "./style.module.css";

/** The counts, drawn as six piles of stones on the bench: as high as there are many. A tap shows a pile alone. */
export function Piles(props: {
  readonly counts: Readonly<Record<StandingName, number>>;
  readonly chosen: ReadonlySet<StandingName>;
  readonly onToggle: (state: StandingName) => void;
}) {
  const { counts, chosen } = props;
  const per = stonesPerSlab(Object.values(counts));
  return (
    <div class="stack">
      <div class={styles.piles} role="group" aria-label={say.board}>
        {standings.map((state) => (
          <button
            key={state}
            type="button"
            class={styles.pile}
            aria-pressed={chosen.has(state)}
            onClick={() => props.onToggle(state)}
          >
            <Pile n={slabsOf(counts[state], per)} />
            <span class={styles.pileCount}>{counts[state]}</span>
            <span class="visually-hidden"> {say.stones(counts[state])} </span>
            <span class={`${styles.pileState} ${state === "to_repair" && counts[state] > 0 ? styles.hand : ""}`}>
              <StandingMark state={state} />
              {say.states[state]}
            </span>
          </button>
        ))}
      </div>
      {per > 1 && <p class="note">{say.slab(per)}</p>}
    </div>
  );
}

// Stones are laid down by hand: each a little off the one below, always in the same way.
const shifts = [0, 1.6, -1.2, 0.8, -1.8, 1.1, -0.6, 1.9];
const widths = [30, 28, 29, 26, 28, 27, 25, 26];

function Pile({ n }: { readonly n: number }) {
  return (
    <svg class={styles.slabs} viewBox="0 0 36 50" aria-hidden="true">
      <path class={styles.benchTop} d="M1 48.5h34" />
      {Array.from({ length: n }, (_, i) => {
        const width = widths[i % widths.length] ?? 28;
        const x = 18 - width / 2 + (shifts[i % shifts.length] ?? 0);
        return <rect key={i} class={styles.slab} x={x} y={42 - i * 5.75} width={width} height="4.75" rx="1" />;
      })}
    </svg>
  );
}
