import { useState } from "preact/hooks";
import { change as sayChange } from "../../words/change";
import { changeStone as say } from "../../words/change-stone";
import { AskWithdraw } from "../Stone/AskWithdraw";
import type { DraftForm } from "../useDraftForm";

export function Drop({ form }: { readonly form: DraftForm }) {
  const [sure, setSure] = useState(false);
  if (!sure) return <p><button type="button" class="button button-plain" onClick={() => setSure(true)}>{sayChange.drop}</button></p>;
  return (
    <div class="sheet needs-you">
      <p>{sayChange.sureDrop}</p>
      <div class="row">
        <button type="button" class="button" onClick={() => setSure(false)}>{say.keepThem}</button>
        <button type="button" class="button button-hand" onClick={() => void form.drop().then(() => setSure(false))}>{say.dropThem}</button>
      </div>
    </div>
  );
}

/** The stone goes with its offer: what is asked for a stone makes no sense without it. */
export function Withdraw({ id, withOffer }: { readonly id: string; readonly withOffer: boolean }) {
  const [asking, setAsking] = useState(false);
  if (!asking) return <p><button type="button" class="button button-plain" onClick={() => setAsking(true)}>{say.withdraw}</button></p>;
  return (
    <section class="sheet" aria-label={say.withdraw}>
      <AskWithdraw thing="stone" id={id} before={withOffer ? ["offer"] : []} help={say.withdrawHelp} onDone={() => setAsking(false)} />
    </section>
  );
}
