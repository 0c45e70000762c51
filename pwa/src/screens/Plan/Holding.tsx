import { useState } from "preact/hooks";
import type { HandOver as HandOverRecord } from "../../domain/records";
import { useLive } from "../../store/live";
import { holding as say } from "../../words/plan";
import { day } from "../../words/trade";
import { HandOver } from "../HandOver";
import { heldRows, readHolding, type HeldRow } from "./holding";
import styles from "./style.module.css";

const rowsAtATime = 20;

/** Who has which stone, since when, and every hand-over before that; a hand-over is noted on the spot. */
export function Holding({ planned }: { readonly planned: readonly string[] }) {
  const view = useLive(readHolding, []);
  const [search, setSearch] = useState("");
  const [shown, setShown] = useState(rowsAtATime);
  if (view === undefined) return null;
  const rows = heldRows(view, planned, search);
  const name = (id: string | null): string => (id === null ? say.dealer : view.names.get(id) ?? id);
  return (
    <section class={`stack ${styles.screenOnly} ${styles.holding}`}>
      <h2>{say.title}</h2>
      <p class="soft">{say.lead}</p>
      <input
        class={styles.find} type="search" value={search} aria-label={say.find} placeholder={say.find} autocomplete="off"
        onInput={(event) => setSearch(event.currentTarget.value)}
      />
      {rows.length === 0
        ? <p>{search.trim() === "" ? say.nobody : say.noneFits}</p>
        : (
          <div role="table" class={styles.held} aria-label={say.title}>
            <div role="row" class={`${styles.heldRow} ${styles.heldHead}`}>
              <span role="columnheader">{say.stone}</span>
              <span role="columnheader">{say.holder}</span>
              <span role="columnheader">{say.since}</span>
              <span role="columnheader"><span class="visually-hidden">{say.handOver}</span></span>
            </div>
            {rows.slice(0, shown).map((row) => <Row key={row.stone.id} row={row} name={name} />)}
          </div>
        )}
      {rows.length > shown && (
        <button type="button" class="button" onClick={() => setShown(shown + rowsAtATime)}>{say.more(Math.min(rowsAtATime, rows.length - shown))}</button>
      )}
    </section>
  );
}

function Row({ row, name }: { readonly row: HeldRow; readonly name: (id: string | null) => string }) {
  const [handing, setHanding] = useState(false);
  const { stone, log, holder } = row;
  return (
    <>
      <div role="row" class={styles.heldRow}>
        <span role="rowheader"><a class={styles.code} href={`/stones/${stone.id}`}>{stone.code}</a></span>
        <span role="cell">{holder === null ? say.dealerHas : name(holder)}</span>
        <span role="cell" class={styles.since}>
          {log[0] === undefined ? say.always : day(log[0].handed_at)}
          {log.length > 0 && <Log log={log} name={name} />}
        </span>
        <span role="cell" class={styles.heldAct}>
          {!handing && <button type="button" class="button" aria-label={say.handOne(stone.code)} onClick={() => setHanding(true)}>{say.handOver}</button>}
        </span>
      </div>
      {handing && (
        <div role="row" class={styles.handing}>
          <div role="cell" class="sheet"><HandOver stoneId={stone.id} code={stone.code} holderId={holder} onDone={() => setHanding(false)} /></div>
        </div>
      )}
    </>
  );
}

function Log({ log, name }: { readonly log: readonly HandOverRecord[]; readonly name: (id: string | null) => string }) {
  return (
    <details>
      <summary class={styles.more}>{say.log(log.length)}</summary>
      <ol class={styles.log}>
        {log.map((one) => <li key={one.id}>{say.line(name(one.holder_id), day(one.handed_at), name(one.created_by))}</li>)}
      </ol>
    </details>
  );
}
