import { useState } from "preact/hooks";
import { Choice } from "../Choice";
import { bandText, gritText, grits, rungState, tapRung, type Band, type GritSystem } from "../../domain/grit";
import { grit as say } from "../../words/parts";
import styles from "./style.module.css";

/** An equivalent grit band: tap the coarsest and the finest grit that the finish could pass for. */
export function GritBandInput(props: { name: string; help?: string; value: Band | null; onSet: (band: Band | null) => void }) {
  const [system, setSystem] = useState<GritSystem>(props.value?.system ?? "jis");
  return (
    <section class={styles.band}>
      <div class={styles.head}>
        <h2 class={styles.name}>{props.name}</h2>
        <output class={props.value ? styles.value : styles.unset}>{props.value ? bandText(props.value) : say.unset}</output>
      </div>
      {props.help && <p class={styles.help}>{props.help}</p>}
      <div class={styles.ladder} role="group" aria-label={props.name}>
        {grits[system].map((rung) => {
          const state = rungState(props.value, rung, system);
          return (
            <button
              key={rung}
              type="button"
              class={`${styles.rung} ${styles[state]}`}
              aria-pressed={state !== "out"}
              onClick={() => props.onSet(tapRung(props.value, rung, system))}
            >
              {gritText(rung, system)}
            </button>
          );
        })}
      </div>
      <p class={styles.help}>{say.twoTaps}</p>
      <details>
        <summary class={styles.more}>{say.otherSystem}</summary>
        <Choice
          name={say.system}
          hideName
          lay="strip"
          options={say.systems}
          value={system}
          onChoose={(next) => {
            setSystem(next);
            if (props.value && props.value.system !== next) props.onSet(null);
          }}
        />
      </details>
    </section>
  );
}
