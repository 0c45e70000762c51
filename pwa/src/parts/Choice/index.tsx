import { useId } from "preact/hooks";
import styles from "./style.module.css";

export interface Option<V extends string | number | boolean> {
  readonly value: V;
  readonly words: string;
  /** A second line, smaller in voice. */
  readonly second?: string;
  /** 1 (pale) to 5 (black): a swatch of mud before the words. */
  readonly shade?: number;
}

export interface ChoiceProps<V extends string | number | boolean> {
  readonly name: string;
  readonly help?: string;
  readonly options: readonly Option<V>[];
  /** `null` until something is chosen. */
  readonly value: V | null;
  readonly onChoose: (value: V) => void;
  /** Given for a question that may stay open; shows a way back to no answer. */
  readonly onClear?: (() => void) | undefined;
  readonly clearWords?: string;
  /** Short options stand side by side, long ones under each other. */
  readonly lay?: "rows" | "tiles" | "strip";
  readonly hideName?: boolean;
}

/** One question with big answers. Native radio buttons underneath, so keyboard and reader work. */
export function Choice<V extends string | number | boolean>(props: ChoiceProps<V>) {
  const id = useId();
  const lay = props.lay ?? "tiles";
  return (
    <fieldset class={styles.choice}>
      <legend class={props.hideName ? "visually-hidden" : styles.name}>{props.name}</legend>
      {props.help && <p class={styles.help}>{props.help}</p>}
      <div class={styles[lay]}>
        {props.options.map((option) => (
          <label key={String(option.value)} class={styles.option}>
            <input
              type="radio"
              name={id}
              checked={props.value === option.value}
              onChange={() => props.onChoose(option.value)}
            />
            {option.shade !== undefined && <Swatch shade={option.shade} />}
            <span class={styles.words}>
              {option.words}
              {option.second !== undefined && <span class={styles.second}>{option.second}</span>}
            </span>
          </label>
        ))}
      </div>
      {props.onClear && props.value !== null && (
        <button type="button" class={styles.clear} onClick={props.onClear}>{props.clearWords ?? "Leave open"}</button>
      )}
    </fieldset>
  );
}

function Swatch({ shade }: { shade: number }) {
  return (
    <svg class={styles.swatch} viewBox="0 0 24 24" aria-hidden="true">
      <rect class={styles[`shade${Math.min(5, Math.max(1, Math.round(shade)))}`]} x="1" y="1" width="22" height="22" rx="11" />
    </svg>
  );
}
