import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Member } from "../../domain/records";
import { readAll, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { useLive } from "../../store/live";
import { newId, saveRecord } from "../../sync/commands";
import { asked as say } from "../../words/asked";
import styles from "./style.module.css";

/** The value of the select for a stone without a holder. No id looks like this. */
const dealer = "dealer";

async function readHandover() {
  const [session, members] = await Promise.all([readSession(), readAll("member")]);
  return {
    me: session?.member.id ?? "",
    mayDeal: mayDeal(session),
    members: members.map(({ record }) => record).filter((member) => member.active).sort((a, b) => a.display_name.localeCompare(b.display_name)),
  };
}

/** Who may get a stone: everybody but who has it, oneself first, for a stone that was taken home. */
export const receivers = (members: readonly Member[], holderId: string | null, me: string): Member[] =>
  members.filter(({ id }) => id !== holderId).sort((a, b) => Number(b.id === me) - Number(a.id === me));

/** Says who gets the stone. Kept on the phone at once, like every record. */
export function HandOver(props: { readonly stoneId: string; readonly code: string; readonly holderId: string | null; readonly onDone: () => void }) {
  const id = useId();
  const to = useRef<HTMLSelectElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const [saving, setSaving] = useState(false);
  const view = useLive(readHandover, []);
  const isThere = view !== undefined;
  useEffect(() => to.current?.focus(), [isThere]);
  if (view === undefined) return null;

  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    const chosen = to.current?.value ?? "";
    if (chosen === "") {
      setWrong(say.needsHolder);
      to.current?.focus();
      return;
    }
    setSaving(true);
    try {
      const holder_id = chosen === dealer ? null : chosen;
      await saveRecord("hand_over", newId(), { stone_id: props.stoneId, holder_id, handed_at: new Date().toISOString(), notes: "" }, null);
      props.onDone();
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
      setSaving(false);
    }
  };

  return (
    <form class="stack" onSubmit={go} noValidate aria-label={say.handTitle(props.code)}>
      <div class="field">
        <label for={id}>{say.to}</label>
        <select id={id} ref={to} aria-invalid={wrong !== null} onChange={() => setWrong(null)}>
          <option value="">{say.choose}</option>
          {view.mayDeal && props.holderId !== null && <option value={dealer}>{say.backWithDealer}</option>}
          {receivers(view.members, props.holderId, view.me).map((member) => (
            <option key={member.id} value={member.id}>{member.id === view.me ? say.toYou(member.display_name) : member.display_name}</option>
          ))}
        </select>
        {wrong !== null && <p class="wrong" role="alert">{wrong}</p>}
      </div>
      <div class={`row ${styles.ways}`}>
        <button type="button" class="button" onClick={props.onDone}>{say.cancel}</button>
        <button type="submit" class="button button-main" disabled={saving}>{say.save}</button>
      </div>
    </form>
  );
}
