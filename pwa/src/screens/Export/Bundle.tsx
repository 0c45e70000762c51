import { useId, useRef, useState } from "preact/hooks";
import { readClubBundle } from "../../sync/exporting";
import type { View } from "../../sync/views";
import { exporting as say } from "../../words/export";
import { Told } from ".";
import { saveFile } from "./saveFile";
import styles from "./style.module.css";

/** The whole club in one file. It holds everybody's sign-in, so it asks for the password once more. */
export function Bundle({ slug }: { readonly slug: string }) {
  const id = useId();
  const password = useRef<HTMLInputElement>(null);
  const [state, setState] = useState<View<Blob> | "asking" | null>(null);
  const [missing, setMissing] = useState(false);
  const get = async (event: Event): Promise<void> => {
    event.preventDefault();
    const typed = password.current?.value ?? "";
    setMissing(typed === "");
    if (typed === "") {
      password.current?.focus();
      return;
    }
    setState("asking");
    const view = await readClubBundle(typed);
    setState(view);
    if (view.kind === "here") {
      if (password.current) password.current.value = "";
      saveFile(view.value, say.bundleFile(slug, new Date()));
    }
  };
  return (
    <section class="sheet">
      <h2>{say.bundle}</h2>
      <p>{say.bundleLead}</p>
      <p class={styles.mind}>{say.bundleMind}</p>
      <form class="stack" onSubmit={(event) => void get(event)} noValidate>
        <div class="field">
          <label for={id}>{say.password}</label>
          <input id={id} ref={password} type="password" autocomplete="current-password" maxLength={200} aria-invalid={missing} />
          {missing && <p class="wrong" role="alert">{say.needsPassword}</p>}
        </div>
        <div><button type="submit" class="button" disabled={state === "asking"}>{state === "asking" ? say.making : say.getBundle}</button></div>
      </form>
      <Told state={state} />
      <details>
        <summary class={styles.more}>{say.bundleHow}</summary>
        <div class="stack">
          <p>{say.bundleInto}</p>
          <pre class={styles.command}>{say.bundleCommand}</pre>
          <p>{say.bundleThen}</p>
        </div>
      </details>
    </section>
  );
}
