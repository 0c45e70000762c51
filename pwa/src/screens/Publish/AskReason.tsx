import { useEffect, useId, useRef, useState } from "preact/hooks";
import { publish as say } from "../../words/publish";

/** Publishing what is not ready asks why first, in words that buyers read. */
export function AskReason(props: { readonly onGo: (reason: string) => Promise<void>; readonly onLater: (() => void) | null }) {
  const id = useId();
  const why = useRef<HTMLTextAreaElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const asked = props.onLater !== null;
  useEffect(() => {
    if (asked) why.current?.focus();
  }, [asked]);

  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    const reason = why.current?.value.trim() ?? "";
    if (reason === "") {
      setWrong(say.needsReason);
      why.current?.focus();
      return;
    }
    try {
      await props.onGo(reason);
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
    }
  };

  return (
    <form class="stack" onSubmit={go} noValidate>
      <div class="field">
        <label for={id}>{say.reason}</label>
        <textarea id={id} ref={why} rows={2} maxLength={1000} aria-invalid={wrong !== null} aria-describedby={`${id}-help`} />
        {wrong !== null && <p class="wrong" role="alert">{wrong}</p>}
        <p class="note" id={`${id}-help`}>{say.reasonHelp}</p>
      </div>
      <div class="row">
        {props.onLater && <button type="button" class="button" onClick={props.onLater}>{say.later}</button>}
        <button type="submit" class="button button-hand">{say.withReason}</button>
      </div>
    </form>
  );
}
