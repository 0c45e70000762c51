import { useState } from "preact/hooks";
import type { DeskStone } from "../../domain/board";
import { printable, publishReady, type OfferAct } from "../../domain/board_acts";
import type { Purpose } from "../../domain/records";
import { Over } from "../../parts/Over";
import { PrintLabels } from "../../parts/PrintLabels";
import { newId } from "../../sync/commands";
import { printLabels } from "../../sync/labels";
import { deskActs as say } from "../../words/desk";
import { Ask } from "./Ask";
import { Hand } from "./Hand";
import { OfferChange, Price } from "./Offers";
import type { DeskBase } from "./read";
import { LeftAlones, Settle } from "./Settle";
import styles from "./style.module.css";

type Chosen = "labels" | "ask" | "hand" | "price" | "publish" | OfferAct;
const offerActs = ["keep_back", "offer_again", "reserve", "sell"] as const;

/** What a form of an act needs. */
export interface ActProps {
  readonly rows: readonly DeskStone[];
  readonly base: DeskBase;
  readonly purpose: Purpose;
  /** In which the club usually asks. */
  readonly currency: string;
  /** Something was written. */
  readonly onDone: () => void;
  readonly onClose: () => void;
}

/** What to do with the chosen stones. They are held as they were when the sheet was opened, so that nothing shifts under the thumb. */
export function Acts(props: ActProps) {
  const [rows] = useState(props.rows);
  const [chosen, setChosen] = useState<Chosen | null>(null);
  const [done, setDone] = useState(false);
  const given = { ...props, rows, onDone: () => { setDone(true); props.onDone(); } };
  const isOffer = (one: Chosen): one is OfferAct => (offerActs as readonly string[]).includes(one);
  return (
    <Over title={say.title(rows.length)} onClose={props.onClose}>
      {chosen === null && <Menu rows={rows} purpose={props.purpose} onChoose={setChosen} onClose={props.onClose} />}
      {chosen === "labels" && <Labels rows={rows} onClose={props.onClose} />}
      {chosen === "ask" && <Ask {...given} />}
      {chosen === "hand" && <Hand {...given} />}
      {chosen !== null && isOffer(chosen) && <OfferChange {...given} act={chosen} />}
      {chosen === "price" && <Price {...given} />}
      {chosen === "publish" && (
        <Settle
          act={publishReady(rows, props.purpose)}
          will={say.will.publish} go={say.go.publish} did={say.did.publish}
          record={(body) => ({ thing: "slip", id: newId(), body, base: null })}
          onDone={given.onDone} onClose={props.onClose}
        />
      )}
      {chosen !== null && !done && <button type="button" class="button button-plain" onClick={() => setChosen(null)}>{say.back}</button>}
    </Over>
  );
}

function Labels({ rows, onClose }: { readonly rows: readonly DeskStone[]; readonly onClose: () => void }) {
  // Held, so that the sheet is not asked for anew when the list behind it changes.
  const [act] = useState(() => printable(rows));
  const [ids] = useState(() => act.does.map(({ body }) => body.stone_id));
  return (
    <>
      <LeftAlones leaves={act.leaves} />
      <PrintLabels stoneIds={ids} print={printLabels} onClose={onClose} />
    </>
  );
}

function Menu(props: {
  readonly rows: readonly DeskStone[];
  readonly purpose: Purpose;
  readonly onChoose: (chosen: Chosen) => void;
  readonly onClose: () => void;
}) {
  const act = (chosen: Chosen, words: string) => (
    <button key={chosen} type="button" class="button" onClick={() => props.onChoose(chosen)}>{words}</button>
  );
  return (
    <>
      <p>{say.which}</p>
      <div class={styles.ways}>
        {act("ask", say.ask)}
        {act("hand", say.hand)}
        {act("publish", say.publish)}
        {act("labels", say.labels)}
        {act("price", say.price)}
        {offerActs.map((one) => act(one, say.offers[one]))}
      </div>
      <button type="button" class="button button-plain" onClick={props.onClose}>{say.close}</button>
    </>
  );
}
