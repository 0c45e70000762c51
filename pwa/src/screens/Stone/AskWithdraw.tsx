import { useEffect, useId, useRef, useState } from "preact/hooks";
import { withdraw } from "../../sync/commands";
import { change as say } from "../../words/change";

/** Withdrawing asks why first; nothing goes without a reason. */
export function AskWithdraw(props: {
  thing: "trial" | "inspection" | "slip" | "assignment" | "shortlist" | "stone";
  id: string;
  /** Records under the same id that go with it, and first. */
  before?: readonly "offer"[];
  help?: string;
  onDone: () => void;
}) {
  const id = useId();
  const why = useRef<HTMLTextAreaElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  useEffect(() => why.current?.focus(), []);

  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    const reason = why.current?.value.trim() ?? "";
    if (reason === "") {
      setWrong(say.needsReason);
      why.current?.focus();
      return;
    }
    try {
      for (const thing of props.before ?? []) await withdraw(thing, props.id, reason);
      await withdraw(props.thing, props.id, reason);
      props.onDone();
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
    }
  };

  return (
    <form class="stack" onSubmit={go} noValidate>
      <div class="field">
        <label for={id}>{say.why}</label>
        <textarea id={id} ref={why} rows={2} maxLength={500} aria-invalid={wrong !== null} aria-describedby={`${id}-help`} />
        {wrong !== null && <p class="wrong" role="alert">{wrong}</p>}
        <p class="note" id={`${id}-help`}>{props.help ?? say.whyHelp}</p>
      </div>
      <div class="row">
        <button type="button" class="button" onClick={props.onDone}>{say.keep}</button>
        <button type="submit" class="button button-hand">{say.withdraw}</button>
      </div>
    </form>
  );
}
