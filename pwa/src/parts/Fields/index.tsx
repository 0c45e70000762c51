import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { readNumber, troubleWith, type Bounds, type Trouble } from "./number";
import { fields as say } from "../../words/parts";
import styles from "./style.module.css";

export interface NumberFieldProps extends Bounds {
  readonly name: string;
  readonly unit?: string | null;
  readonly help?: string;
  readonly value: number | null;
  /** Called with every sound number, and with null when the box is emptied. */
  readonly onSet: (value: number | null) => void;
  readonly compact?: boolean;
}

/**
 * A number with its unit. What was typed stays in the box even when it is not (yet) a sound
 * number; then nothing is passed on and a sentence says what would be.
 */
export function NumberField(props: NumberFieldProps) {
  const id = useId();
  const [text, setText] = useState(asText(props.value));
  const typed = readNumber(text);
  const trouble = troubleWith(typed, props);

  // A stopwatch, a draft read back or another tab may set the value from outside. Only a value that
  // did not come from this box replaces its text, or typing "3." would turn to "3" under the thumb.
  const reported = useRef(props.value);
  useEffect(() => {
    if (props.value === reported.current) return;
    reported.current = props.value;
    setText(asText(props.value));
  }, [props.value]);

  const change = (next: string): void => {
    setText(next);
    const read = readNumber(next);
    const sound = troubleWith(read, props) === null && read.kind === "number" ? read.value : null;
    reported.current = sound;
    if (sound !== props.value) props.onSet(sound);
  };

  return (
    <div class={props.compact ? `${styles.field} ${styles.compact}` : styles.field}>
      <label class={styles.name} for={id}>{props.name}</label>
      {props.help && <p class={styles.help} id={`${id}-help`}>{props.help}</p>}
      <span class={styles.box}>
        <input
          id={id}
          class={styles.number}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="done"
          value={text}
          aria-invalid={trouble !== null}
          aria-describedby={trouble ? `${id}-trouble` : props.help ? `${id}-help` : undefined}
          onInput={(event) => change(event.currentTarget.value)}
        />
        {props.unit && <span class={styles.unit}>{props.unit}</span>}
      </span>
      {trouble && <p class={styles.trouble} id={`${id}-trouble`}>{troubleWords(trouble, props)}</p>}
    </div>
  );
}

const asText = (value: number | null): string => (value === null ? "" : String(value));

function troubleWords(trouble: Trouble, bounds: Bounds): string {
  if (trouble === "too_low") return say.atLeast(bounds.low ?? 0);
  if (trouble === "too_high") return say.atMost(bounds.high ?? 0);
  return trouble === "not_whole" ? say.wholeNumber : say.aNumber;
}

export function TextField(props: {
  name: string;
  help?: string;
  value: string;
  rows?: number;
  onSet: (value: string) => void;
}) {
  const id = useId();
  return (
    <div class={styles.field}>
      <label class={styles.name} for={id}>{props.name}</label>
      {props.help && <p class={styles.help}>{props.help}</p>}
      <textarea
        id={id}
        class={styles.text}
        rows={props.rows ?? 3}
        value={props.value}
        onInput={(event) => props.onSet(event.currentTarget.value)}
      />
    </div>
  );
}

export function SelectField<V extends string>(props: {
  name: string;
  value: V | "";
  options: readonly { readonly value: V; readonly words: string }[];
  empty?: string;
  onSet: (value: V | "") => void;
}) {
  const id = useId();
  return (
    <div class={styles.field}>
      <label class={styles.name} for={id}>{props.name}</label>
      <select id={id} class={styles.select} aria-label={props.name} value={props.value} onChange={(event) => props.onSet(event.currentTarget.value as V | "")}>
        {props.empty !== undefined && <option value="">{props.empty}</option>}
        {props.options.map((option) => <option key={option.value} value={option.value}>{option.words}</option>)}
      </select>
    </div>
  );
}

/** A name and a value that is only read. */
export function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div class={styles.fact}>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

export function Facts({ children }: { children: ComponentChildren }) {
  return <dl class={styles.facts}>{children}</dl>;
}
