import { useId, useState } from "preact/hooks";
import type { DeskStone } from "../../domain/board";
import { changeOffers, setPrices, type OfferAct } from "../../domain/board_acts";
import type { OwnFields } from "../../domain/records";
import { NumberField } from "../../parts/Fields";
import type { RecordToSave } from "../../sync/commands";
import { deskActs as say } from "../../words/desk";
import type { ActProps } from "./Acts";
import { Settle } from "./Settle";
import { money } from "./text";

/** An offer has the id of its stone, so two phones cannot make two. */
const recordOf = (body: OwnFields<"offer">, { stone_id, offer }: DeskStone): RecordToSave =>
  ({ thing: "offer", id: stone_id, body, base: offer?.version ?? null, madeOn: offer?.recorded_at ?? null });

/** Keeping back, with the reason; taking back into sale, reserving, selling. */
export function OfferChange({ rows, currency, act, onDone, onClose }: ActProps & { readonly act: OfferAct }) {
  const id = useId();
  const [reason, setReason] = useState("");
  const needsReason = act === "keep_back" && reason.trim() === "";
  return (
    <>
      {act === "keep_back" && (
        <div class="field">
          <label for={id}>{say.reason}</label>
          <input
            id={id} type="text" maxLength={300} autocomplete="off" value={reason} aria-describedby={`${id}-help`}
            onInput={(event) => setReason(event.currentTarget.value)}
          />
          <p class="note" id={`${id}-help`}>{say.reasonHelp}</p>
        </div>
      )}
      <Settle
        act={needsReason ? null : changeOffers(rows, act, reason, currency)}
        will={say.will[act]} go={say.go[act]} did={say.did[act]} lacks={say.needsReason}
        record={recordOf} onDone={onDone} onClose={onClose}
      />
    </>
  );
}

/** One price for each of them. */
export function Price({ rows, currency: usual, onDone, onClose }: ActProps) {
  const id = useId();
  const [price, setPrice] = useState<number | null>(null);
  const [currency, setCurrency] = useState(usual);
  const code = currency.trim().toUpperCase();
  const sound = price !== null && /^[A-Z]{3}$/.test(code);
  return (
    <>
      <NumberField name={say.amount} value={price} low={0} high={1e8} onSet={setPrice} />
      <div class="field">
        <label for={id}>{say.currency}</label>
        <input
          id={id} type="text" maxLength={3} autocomplete="off" autocapitalize="characters" value={currency} aria-describedby={`${id}-help`}
          onInput={(event) => setCurrency(event.currentTarget.value)}
        />
        <p class="note" id={`${id}-help`}>{say.currencyHelp}</p>
      </div>
      <Settle
        act={sound ? setPrices(rows, price, code) : null}
        will={(n) => say.will.price(n, `${price === null ? "" : money(price)} ${code}`)} go={say.go.price} did={say.did.price} lacks={say.needsPrice}
        record={recordOf} onDone={onDone} onClose={onClose}
      />
    </>
  );
}
