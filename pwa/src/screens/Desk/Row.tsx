import type { DeskStone } from "../../domain/board";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { desk as say } from "../../words/desk";
import { kinds } from "../../words/trade";
import type { DrawnFace } from "./read";
import { Drop, StandingMark } from "./Signs";
import { priceText } from "./text";
import styles from "./style.module.css";

/** One stone of the board: where it stands, what stands in its way, and a place for the thumb to choose it. */
export function Row(props: {
  readonly row: DeskStone;
  readonly lot: string;
  readonly holder: string | null;
  readonly face: DrawnFace | undefined;
  readonly href: string;
  readonly chosen: boolean;
  readonly onChoose: (chosen: boolean) => void;
}) {
  const { row, face } = props;
  const { stone } = row;
  const hand = row.state === "to_repair";
  const price = priceText(row);
  const [first] = row.blocks;
  const beside = [
    say.evidence(row.n_trials, row.n_testers),
    ...(row.n_asked > 0 ? [say.askedShort(row.n_asked, row.n_overdue)] : []),
    ...(props.holder !== null ? [props.holder] : []),
    ...(price !== null ? [price] : []),
  ];
  return (
    <div class={`${styles.row} ${props.chosen ? styles.isChosen : ""}`}>
      <label class={styles.pick}>
        <input type="checkbox" checked={props.chosen} onChange={(event) => props.onChoose(event.currentTarget.checked)} />
        <span class="visually-hidden">{say.choose(stone.code)}</span>
      </label>
      <a class={styles.open} href={props.href}>
        <StoneFace stone={drawnOf(stone)} findings={face?.findings ?? []} needsHand={face?.needsHand ?? new Set()} size="row" label="" />
        <span class={styles.code}>{stone.code}</span>
        <span class={`${styles.kind} ${styles.clip}`}>{kinds[stone.kind]}{props.lot === "" ? "" : `, ${props.lot}`}</span>
        <span class={`${styles.state} ${hand || row.moved ? styles.hand : ""}`}>
          <StandingMark state={row.state} />
          <span class={styles.clip}>
            {say.states[row.state]}
            {row.moved ? `, ${say.anew}` : ""}
            {row.offer_state === "sold" || row.offer_state === "reserved" ? `, ${say.offers[row.offer_state].toLowerCase()}` : ""}
          </span>
        </span>
        <span class={`${styles.beside} ${styles.clip}`}>{beside.join(" · ")}</span>
        <span class={styles.why}>
          {row.pending.map((one) => (
            <span key={one} class={styles.pending}><Drop />{say.pending[one]}</span>
          ))}
          {first !== undefined && (
            <span class={styles.block}>{first}{row.blocks.length > 1 ? ` (${say.more(row.blocks.length - 1)})` : ""}</span>
          )}
        </span>
      </a>
    </div>
  );
}
