import type { OfferState, Wanted } from "../../domain/board";
import { withDealer } from "../../domain/board";
import type { Lot, Member, StoneKind } from "../../domain/records";
import { SelectField } from "../../parts/Fields";
import { desk as say } from "../../words/desk";
import { kinds } from "../../words/trade";
import styles from "./style.module.css";

export type Change = (changes: Readonly<Record<string, string>>) => void;

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Which stones the board shows, beside their state. */
export function Narrow(props: {
  readonly wanted: Wanted;
  readonly search: string;
  readonly lots: readonly Lot[];
  readonly kinds: readonly StoneKind[];
  readonly holders: readonly Member[];
  readonly onChange: Change;
}) {
  const { wanted, onChange } = props;
  const n = [wanted.lot, wanted.kind, wanted.holder, wanted.offer, wanted.only].filter((one) => one !== "").length;
  return (
    <div class={styles.tools}>
      <input
        class={styles.search}
        type="search"
        value={props.search}
        placeholder={say.search}
        aria-label={say.search}
        autocomplete="off"
        onInput={(event) => onChange({ q: event.currentTarget.value })}
      />
      <details open={n > 0}>
        <summary class={styles.more}>{n === 0 ? say.narrow : say.narrowed(n)}</summary>
        <div class={styles.filters}>
          <SelectField
            name={say.lot} value={wanted.lot} empty={say.everyLot}
            options={props.lots.map((lot) => ({ value: lot.id, words: `${lot.code} ${lot.name}` }))}
            onSet={(lot) => onChange({ lot })}
          />
          <SelectField
            name={say.kind} value={wanted.kind} empty={say.everyKind}
            options={props.kinds.map((value) => ({ value, words: capital(kinds[value]) }))}
            onSet={(kind) => onChange({ kind })}
          />
          <SelectField
            name={say.holder} value={wanted.holder} empty={say.everyHolder}
            options={[{ value: withDealer, words: say.dealer }, ...props.holders.map((one) => ({ value: one.id, words: one.display_name }))]}
            onSet={(holder) => onChange({ holder })}
          />
          <SelectField<OfferState | "none">
            name={say.offer} value={wanted.offer} empty={say.unsold}
            options={(Object.keys(say.offers) as (OfferState | "none")[]).map((value) => ({ value, words: say.offers[value] }))}
            onSet={(offer) => onChange({ offer })}
          />
          <SelectField<"moved" | "asked" | "overdue">
            name={say.only_} value={wanted.only} empty={say.everything}
            options={(["moved", "asked", "overdue"] as const).map((value) => ({ value, words: say.only[value] }))}
            onSet={(only) => onChange({ only })}
          />
        </div>
      </details>
    </div>
  );
}
