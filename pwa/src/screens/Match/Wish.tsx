import { useId } from "preact/hooks";
import { bladesOf, most_blades, newBlade, purposeOf, type Steels, type Values } from "../../domain/match";
import type { GritBand, Purpose, WishBlade } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { NumberField, SelectField } from "../../parts/Fields";
import { match as say } from "../../words/match";
import { grit as sayGrit } from "../../words/parts";
import { BladeFields } from "./BladeFields";
import styles from "./style.module.css";

const numberAt = (values: Values, name: string): number | null => {
  const value = values[name];
  return typeof value === "number" ? value : null;
};

/** The wish, in the words in which a buyer tells it. Every value is kept the moment it is set. */
export function Wish(props: {
  readonly values: Values;
  readonly steels: Steels;
  readonly purposes: readonly Purpose[];
  readonly onSet: (changes: Values) => void;
}) {
  const { values, steels, onSet } = props;
  const purpose = purposeOf(values);
  const blades = bladesOf(values);
  const finish = steels.finishes.find((one) => one.finish === values["finish"]);
  const set = (name: string) => (value: unknown): void => onSet({ [name]: value ?? undefined });
  const change = (n: number, blade: WishBlade): void => onSet({ blades: blades.map((one, i) => (i === n ? blade : one)) });
  const purposes = props.purposes.length > 0 ? props.purposes : (["knife"] as const);
  return (
    <div class="stack">
      <Choice
        name={say.purpose}
        lay="strip"
        options={purposes.map((value) => ({ value, words: say.purposes[value] }))}
        value={purpose}
        onChoose={(value) => onSet({ purpose: value, finish: undefined })}
      />
      {blades.map((blade, n) => (
        <BladeFields
          key={n}
          blade={blade}
          steels={steels}
          n={n + 1}
          of={blades.length}
          onSet={(changed) => change(n, changed)}
          onDrop={blades.length > 1 ? () => onSet({ blades: blades.filter((_, i) => i !== n) }) : null}
        />
      ))}
      {blades.length < most_blades && (
        <p><button type="button" class="button" onClick={() => onSet({ blades: [...blades, newBlade] })}>{say.another}</button></p>
      )}
      <Choice
        name={say.finish}
        lay="rows"
        options={steels.finishes.filter((one) => one.purpose === purpose).map((one) => ({
          value: one.finish,
          words: one.words,
          second: one.means,
        }))}
        value={typeof values["finish"] === "string" ? values["finish"] : null}
        onChoose={set("finish")}
      />
      {finish && <p class="note">{say.means(say.asks(finish.low, finish.high), say.like(finish.grit_low, finish.grit_high), finish.because)}</p>}
      <Choice
        name={say.skill}
        lay="rows"
        options={steels.skills.map((one) => ({ value: one.skill, words: one.words, second: one.because }))}
        value={typeof values["skill"] === "string" ? values["skill"] : null}
        onChoose={set("skill")}
      />
      <fieldset class={styles.group}>
        <legend>{say.ownedTitle}</legend>
        <p class="note">{say.ownedNone}</p>
        <div class={styles.pair}>
          <SelectField
            name={say.system}
            value={(values["owned_system"] as GritBand["system"] | undefined) ?? "jis"}
            options={sayGrit.systems}
            onSet={set("owned_system")}
          />
          <NumberField name={say.number} whole low={1} high={100_000} value={numberAt(values, "owned_number")} onSet={set("owned_number")} />
        </div>
      </fieldset>
      <details class={styles.group} open={["budget", "min_length_mm", "min_width_mm", "max_mass_g"].some((name) => values[name] !== undefined)}>
        <summary>{say.more}</summary>
        <div class={styles.pair}>
          <NumberField name={say.budget} low={0} high={1e8} value={numberAt(values, "budget")} onSet={set("budget")} />
          <Currency value={typeof values["currency"] === "string" ? values["currency"] : ""} onSet={set("currency")} />
          <NumberField name={say.minLength} unit="mm" low={0} high={2000} value={numberAt(values, "min_length_mm")} onSet={set("min_length_mm")} />
          <NumberField name={say.minWidth} unit="mm" low={0} high={2000} value={numberAt(values, "min_width_mm")} onSet={set("min_width_mm")} />
          <NumberField name={say.maxMass} unit="g" help={say.maxMassHelp} low={0} high={50_000} value={numberAt(values, "max_mass_g")} onSet={set("max_mass_g")} />
        </div>
      </details>
    </div>
  );
}

function Currency({ value, onSet }: { readonly value: string; readonly onSet: (value: string) => void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{say.currency}</label>
      <input id={id} value={value} maxLength={3} autocomplete="off" autocapitalize="characters" onInput={(event) => onSet(event.currentTarget.value)} />
    </div>
  );
}
