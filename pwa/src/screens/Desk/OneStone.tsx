import type { DeskStone } from "../../domain/board";
import type { Purpose } from "../../domain/records";
import { Fact, Facts } from "../../parts/Fields";
import { Over } from "../../parts/Over";
import { asked as sayAsked } from "../../words/asked";
import { desk as say, deskStone as sayStone } from "../../words/desk";
import { kinds } from "../../words/trade";
import type { DeskBase } from "./read";
import { Drop, StandingMark } from "./Signs";
import { holderText, priceText } from "./text";
import styles from "./style.module.css";

/** Everything the board knows of one stone, and the ways from it. */
export function OneStone(props: {
  readonly row: DeskStone;
  readonly base: DeskBase;
  readonly purpose: Purpose;
  readonly onActs: () => void;
  readonly onClose: () => void;
}) {
  const { row, base, purpose } = props;
  const { stone } = row;
  const lot = base.lots.find((one) => one.id === stone.lot_id);
  const holder = holderText(row, base);
  const price = priceText(row);
  const suffix = `?purpose=${purpose}`;
  return (
    <Over title={stone.code} onClose={props.onClose}>
      <p class="soft">{[kinds[stone.kind], ...(lot === undefined ? [] : [lot.name])].join(", ")}</p>
      <p class={`${styles.stateLine} ${row.state === "to_repair" || row.moved ? styles.hand : ""}`}>
        <StandingMark state={row.state} />
        <strong>{say.states[row.state]}{row.moved ? `, ${say.anew}` : ""}</strong>
      </p>
      {row.pending.map((one) => <p key={one} class={styles.pending}><Drop />{say.pending[one]}</p>)}
      {row.blocks.length === 0
        ? <p>{say.nothingInTheWay}</p>
        : <Sentences title={sayStone.inTheWay} sentences={row.blocks} />}
      {row.remarks.length > 0 && <Sentences title={sayStone.besides} sentences={row.remarks} />}
      <Facts>
        <Fact name={sayStone.evidence}>{say.evidence(row.n_trials, row.n_testers)}</Fact>
        {row.n_asked > 0 && <Fact name={sayStone.asked}>{say.askedShort(row.n_asked, row.n_overdue)}</Fact>}
        {row.n_open_work > 0 && <Fact name={sayStone.openWork}>{sayStone.work(row.n_open_work)}</Fact>}
        <Fact name={sayStone.holder}>{holder ?? sayAsked.withDealer}</Fact>
        <Fact name={sayStone.offer}>
          {row.offer_state === null ? sayStone.notOffered : say.offers[row.offer_state]}{price === null ? "" : `, ${price}`}
        </Fact>
      </Facts>
      <div class={styles.ways}>
        <a class="button" href={`/stones/${stone.id}`}>{sayStone.stone}</a>
        <a class="button" href={`/stones/${stone.id}/review${suffix}`}>{sayStone.review}</a>
        <a class="button" href={`/stones/${stone.id}/publish${suffix}`}>{sayStone.publish}</a>
        <a class="button" href={`/plan${suffix}&stone=${stone.id}`}>{sayStone.plan}</a>
        {row.n_open_work > 0 && <a class="button" href="/work">{sayStone.workList}</a>}
        <button type="button" class="button" onClick={props.onActs}>{sayStone.acts}</button>
      </div>
      <button type="button" class="button button-main" onClick={props.onClose}>{sayStone.close}</button>
    </Over>
  );
}

function Sentences({ title, sentences }: { readonly title: string; readonly sentences: readonly string[] }) {
  return (
    <section class="stack">
      <h3>{title}</h3>
      <ul class={styles.sentences}>{sentences.map((one) => <li key={one}>{one}</li>)}</ul>
    </section>
  );
}
