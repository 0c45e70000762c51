import { useId } from "preact/hooks";
import type { Steels } from "../../domain/match";
import type { SteelClass, WishBlade } from "../../domain/records";
import { NumberField, SelectField } from "../../parts/Fields";
import { Choice } from "../../parts/Choice";
import { match as say } from "../../words/match";
import styles from "./style.module.css";

/** One blade of the buyer: steel by class, then by type, hardness and bevel. All but the bevel may stay open. */
export function BladeFields(props: {
  readonly blade: WishBlade;
  readonly steels: Steels;
  readonly n: number;
  readonly of: number;
  readonly onSet: (blade: WishBlade) => void;
  readonly onDrop: (() => void) | null;
}) {
  const { blade, steels, onSet } = props;
  const id = useId();
  const types = [
    ...steels.club.filter((one) => one.steel_class === blade.steel_class).map((one) => ({ value: one.steel, words: say.clubSteel(one.name) })),
    ...steels.common.filter((one) => one.steel_class === blade.steel_class).map((one) => ({ value: one.steel, words: one.name })),
  ];
  const listed = steels.common.find((one) => one.steel === blade.steel);
  const usual = listed ?? steels.classes.find((one) => one.steel_class === blade.steel_class);
  return (
    <fieldset class={styles.group}>
      <legend>{say.blade(props.n, props.of)}</legend>
      <div class={styles.pair}>
        {props.of > 1 && (
          <div class="field">
            <label for={id}>{say.bladeName}</label>
            <input id={id} value={blade.name} maxLength={80} autocomplete="off" onInput={(event) => onSet({ ...blade, name: event.currentTarget.value })} />
          </div>
        )}
        <SelectField<SteelClass>
          name={say.steelClass}
          value={blade.steel_class ?? ""}
          empty={say.classUnknown}
          options={steels.classes.map((one) => ({ value: one.steel_class, words: one.name }))}
          onSet={(value) => onSet({ ...blade, steel_class: value === "" ? null : value, steel: null })}
        />
        {blade.steel_class !== null && (
          <SelectField
            name={say.steel}
            value={blade.steel ?? ""}
            empty={say.steelUnknown}
            options={types}
            onSet={(value) => onSet({ ...blade, steel: value === "" ? null : value })}
          />
        )}
        <NumberField
          name={say.hrc}
          unit="HRC"
          help={usual === undefined ? say.hrcOpen : say.hrcUsual(usual.hrc_low, usual.hrc_high)}
          low={30}
          high={75}
          value={blade.hrc}
          onSet={(hrc) => onSet({ ...blade, hrc })}
        />
      </div>
      <Choice
        name={say.bevel}
        lay="tiles"
        options={steels.bevels.map((one) => ({ value: one.bevel, words: one.words }))}
        value={blade.bevel}
        onChoose={(bevel) => onSet({ ...blade, bevel })}
      />
      {props.onDrop && <p><button type="button" class="button button-plain" onClick={props.onDrop}>{say.drop(props.n)}</button></p>}
    </fieldset>
  );
}
