import { useEffect, useRef, useState } from "preact/hooks";
import { readJoining, type Joining } from "../../sync/club";
import { join, type SignInResult } from "../../sync/session";
import { useSyncStatus } from "../../sync/status";
import { useView } from "../../sync/views";
import { join as say, roleNames } from "../../words/club";
import styles from "./style.module.css";

/** The door for somebody who holds an invitation: who invites, a name, a password, and in. */
export function Join({ token }: { readonly token: string }) {
  const [round, setRound] = useState(0);
  const invitation = useView(() => readJoining(token), [token, round]);
  // Once somebody has joined, the link is used up; the form stays until the way on is open.
  const kept = useRef<Joining | null>(null);
  if (invitation?.kind === "here") kept.current = invitation.value;
  return (
    <div class={`page ${styles.door}`}>
      <header class={styles.head}>
        <img src="/icon.svg" alt="" width="72" height="72" />
        <p class={styles.brand}>Whetpanel</p>
      </header>
      {kept.current !== null && <JoinForm token={token} invitation={kept.current} />}
      {kept.current === null && invitation === undefined && <p class="soft" role="status">{say.reading}</p>}
      {kept.current === null && invitation !== undefined && (
        <section class="sheet">
          {invitation.kind === "not_found" ? <><h1>{say.over}</h1><p>{say.overWhy}</p></> : <p>{say.noNetwork}</p>}
          {invitation.kind !== "not_found" && (
            <button type="button" class="button" onClick={() => setRound(round + 1)}>{say.again}</button>
          )}
          <a class="button button-plain" href="/sign-in">{say.haveAccount}</a>
        </section>
      )}
    </div>
  );
}

type Field = "display_name" | "sign_in_name" | "password";
interface Wrong {
  readonly field: Field | null;
  readonly say: string;
}

const signInShape = /^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$/;

function wrongIn(fields: Readonly<Record<Field, string>>): Wrong | null {
  if (fields.display_name === "") return { field: "display_name", say: say.needName };
  if (!signInShape.test(fields.sign_in_name)) return { field: "sign_in_name", say: say.badSignIn };
  return fields.password.length < 12 ? { field: "password", say: say.shortPassword(12 - fields.password.length) } : null;
}

function wrongOf(result: Exclude<SignInResult, { kind: "in" }>): Wrong {
  switch (result.kind) {
    case "too_many":
      return { field: null, say: say.tooMany };
    case "unreachable":
      return { field: null, say: say.noNetwork };
    case "troubled":
    case "wrong":
      return { field: null, say: say.troubled };
    case "refused": {
      const [first] = result.errors;
      const field = first?.field === "display_name" || first?.field === "sign_in_name" || first?.field === "password" ? first.field : null;
      return { field, say: first?.message ?? result.detail };
    }
  }
}

function JoinForm({ token, invitation }: { token: string; invitation: Joining }) {
  const status = useSyncStatus();
  const form = useRef<HTMLFormElement>(null);
  const [busy, setBusy] = useState(false);
  const [joined, setJoined] = useState(false);
  const [shown, setShown] = useState(false);
  const [length, setLength] = useState(0);
  const [wrong, setWrong] = useState<Wrong | null>(null);

  useEffect(() => {
    if (wrong?.field != null) form.current?.querySelector<HTMLInputElement>(`#${wrong.field}`)?.focus();
  }, [wrong]);

  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const typed = (name: Field): string => form.current?.querySelector<HTMLInputElement>(`#${name}`)?.value ?? "";
    const fields = { display_name: typed("display_name").trim(), sign_in_name: typed("sign_in_name").trim(), password: typed("password") };
    const first = wrongIn(fields);
    setWrong(first);
    if (first !== null) return;
    setBusy(true);
    const result = await join(token, fields);
    setBusy(false);
    if (result.kind === "in") {
      setJoined(true);
      // A fresh page, as the new member. Within this one the frame, which still sees nobody, would lead to the sign-in.
      location.replace("/guide");
    } else setWrong(wrongOf(result));
  };

  const says = (field: Field) => (wrong?.field === field ? <p class="wrong" id={`${field}-wrong`} role="alert">{wrong.say}</p> : null);
  const invalid = (field: Field) => (wrong?.field === field
    ? { "aria-invalid": true, "aria-describedby": `${field}-wrong ${field}-help` }
    : { "aria-describedby": `${field}-help` });
  const secrecy = shown ? ({ type: "text" } as const) : ({ type: "password" } as const);
  const other = joined ? null : status?.session?.member.display_name ?? null;

  return (
    <form ref={form} class="sheet" onSubmit={submit} noValidate>
      <div class="stack">
        <h1>{say.title(invitation.club_name)}</h1>
        <p>{say.invites(invitation.display_name, invitation.roles.map((role) => roleNames[role].toLowerCase()).join(", "))}</p>
        {invitation.invented && !/invented/i.test(invitation.club_name) && <p class="soft">{say.invented}</p>}
      </div>
      {other !== null && <p class={styles.other}>{say.otherHere(other)}</p>}
      <div class="field">
        <label for="display_name">{say.name}</label>
        <input id="display_name" defaultValue={invitation.display_name} maxLength={80} autocomplete="name" enterkeyhint="next" {...invalid("display_name")} />
        {says("display_name")}
        <p class="note" id="display_name-help">{say.nameHelp}</p>
      </div>
      <div class="field">
        <label for="sign_in_name">{say.signInName}</label>
        <input id="sign_in_name" maxLength={40} autocomplete="username" autocapitalize="none" spellcheck={false} enterkeyhint="next" {...invalid("sign_in_name")} />
        {says("sign_in_name")}
        <p class="note" id="sign_in_name-help">{say.signInHelp}</p>
      </div>
      <div class="field">
        <label for="password">{say.password}</label>
        <div class={styles.secret}>
          <input
            id="password" {...secrecy} maxLength={200} autocomplete="new-password" enterkeyhint="go"
            onInput={(event) => setLength(event.currentTarget.value.length)} {...invalid("password")}
          />
          <button type="button" class="button" aria-pressed={shown} onClick={() => setShown(!shown)}>{shown ? say.hide : say.show}</button>
        </div>
        {says("password")}
        <p class="note" id="password-help">{say.passwordHelp} {length > 0 && <strong>{say.count(length)}</strong>}</p>
      </div>
      {wrong !== null && wrong.field === null && <p class={styles.wrong} role="alert">{wrong.say}</p>}
      <button type="submit" class="button button-main" disabled={busy || joined}>{busy || joined ? say.going : say.go}</button>
      <a class="button button-plain" href="/sign-in">{say.haveAccount}</a>
    </form>
  );
}
