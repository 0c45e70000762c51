import { useEffect, useRef, useState } from "preact/hooks";
import { signOut } from "../../sync/session";
import { me as words } from "../../words/me";

/** Signs out; with something unsent it asks first, because it will wait for this very member. */
export function SignOut({ unsent }: { readonly unsent: number }) {
  const [asking, setAsking] = useState(false);
  const stay = useRef<HTMLButtonElement>(null);
  // The question comes under the finger that asked for it; the harmless answer has the focus.
  useEffect(() => {
    if (asking) stay.current?.focus();
  }, [asking]);
  if (!asking) {
    return (
      <section class="stack">
        <button type="button" class="button" onClick={() => (unsent > 0 ? setAsking(true) : void signOut())}>{words.signOut}</button>
        <p class="note">{words.signOutHelp}</p>
      </section>
    );
  }
  return (
    <section class="sheet needs-you" role="alertdialog" aria-labelledby="sure">
      <h2 id="sure">{words.sureTitle(unsent)}</h2>
      <p>{words.sure}</p>
      <div class="row">
        <button type="button" ref={stay} class="button button-main" onClick={() => setAsking(false)}>{words.sureStay}</button>
        <button type="button" class="button button-plain" onClick={() => signOut()}>{words.sureGo}</button>
      </div>
    </section>
  );
}
