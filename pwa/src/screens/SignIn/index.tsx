import { useLocation } from "preact-iso";
import { useEffect, useRef, useState } from "preact/hooks";
import { useLive } from "../../store/live";
import { readOthersWaiting } from "../../store/outbox";
import { readLastSignIn, readServiceInfo, signIn, type SignInFields, type SignInResult } from "../../sync/session";
import { useSyncStatus } from "../../sync/status";
import { signIn as words } from "../../words/sign-in";
import styles from "./style.module.css";

/** What the service said of itself; null while it cannot be reached. */
type ServiceInfo = Awaited<ReturnType<typeof readServiceInfo>>;

interface Wrong {
  readonly field: "club" | "sign_in_name" | "password" | null;
  readonly say: string;
}

function missingIn(fields: SignInFields): Wrong | null {
  if (fields.sign_in_name === "") return { field: "sign_in_name", say: words.needName };
  return fields.password === "" ? { field: "password", say: words.needPassword } : null;
}

function wrongOf(result: Exclude<SignInResult, { kind: "in" }>): Wrong {
  switch (result.kind) {
    case "wrong":
      return { field: "password", say: words.wrong };
    case "too_many":
      return { field: null, say: words.tooMany(Math.ceil((result.retryAfterMs ?? 60_000) / 60_000)) };
    case "unreachable":
      return { field: null, say: words.unreachable };
    case "troubled":
      return { field: null, say: words.troubled };
    case "refused": {
      const [first] = result.errors;
      const field = first?.field === "club" || first?.field === "sign_in_name" ? first.field : null;
      return { field, say: first?.message ?? result.detail };
    }
  }
}

export function SignIn() {
  const { route } = useLocation();
  const status = useSyncStatus();
  const last = useLive(readLastSignIn, []);
  const others = useLive(() => readOthersWaiting(), []);
  const [service, setService] = useState<ServiceInfo>(null);
  const [busy, setBusy] = useState(false);
  const [shown, setShown] = useState(false);
  const [wrong, setWrong] = useState<Wrong | null>(null);
  const club = useRef<HTMLInputElement>(null);
  const name = useRef<HTMLInputElement>(null);
  const password = useRef<HTMLInputElement>(null);

  // Whoever is signed in has no business at the door. This also leads on after signing in, once the store knows:
  // any sooner and the shell, still seeing nobody, would lead back here.
  const isIn = status?.session?.signed_in === true;
  useEffect(() => {
    if (isIn) route("/", true);
  }, [isIn, route]);
  useEffect(() => void readServiceInfo().then(setService), []);
  useEffect(() => {
    if (wrong?.field === "club") club.current?.focus();
    if (wrong?.field === "sign_in_name") name.current?.focus();
    if (wrong?.field === "password") password.current?.select();
  }, [wrong]);

  if (status === undefined || last === undefined) return null;
  const session = status.session;
  const knownClub = service?.club?.slug ?? session?.club.slug ?? last?.club ?? "";
  const clubName = service?.club?.name ?? session?.club.name ?? null;

  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const fields = {
      club: club.current?.value.trim() ?? knownClub,
      sign_in_name: name.current?.value.trim() ?? "",
      password: password.current?.value ?? "",
    };
    const missing = missingIn(fields);
    if (missing !== null) {
      setWrong(missing);
      return;
    }
    setBusy(true);
    setWrong(null);
    const result = await signIn(fields);
    setBusy(false);
    if (result.kind !== "in") setWrong(wrongOf(result));
  };

  const says = (field: Wrong["field"]) =>
    wrong?.field === field ? <p class="wrong" id={`${field}-wrong`} role="alert">{wrong.say}</p> : null;
  const invalid = (field: Wrong["field"]) =>
    wrong?.field === field ? { "aria-invalid": true, "aria-describedby": `${field}-wrong` } : {};

  const secrecy = shown ? ({ type: "text" } as const) : ({ type: "password" } as const);

  return (
    <div class={`page ${styles.door}`}>
      <header class={styles.head}>
        <img src="/icon.svg" alt="" width="72" height="72" />
        <p class={styles.brand}>Whetpanel</p>
      </header>
      <form class="sheet" onSubmit={submit} noValidate>
        <div class="stack">
          <h1>{words.title} {clubName === null ? null : <span class={styles.club}>{words.to(clubName)}</span>}</h1>
          <p class="soft">{session === null ? words.promise : words.again(session.member.display_name)}</p>
          {service?.demo === true ? <p class="soft">{words.demo}</p> : null}
        </div>
        {service?.club == null && session === null ? (
          <div class="field">
            <label for="club">{words.club}</label>
            <input id="club" ref={club} defaultValue={knownClub} autocomplete="organization" autocapitalize="none" spellcheck={false} {...invalid("club")} />
            {says("club")}
            <p class="note">{words.clubHelp}</p>
          </div>
        ) : null}
        <div class="field">
          <label for="sign_in_name">{words.name}</label>
          <input
            id="sign_in_name" ref={name} defaultValue={last?.sign_in_name ?? ""} autocomplete="username"
            autocapitalize="none" spellcheck={false} enterkeyhint="next" {...invalid("sign_in_name")}
          />
          {says("sign_in_name")}
        </div>
        <div class="field">
          <label for="password">{words.password}</label>
          <div class={styles.secret}>
            <input
              id="password" ref={password} {...secrecy} autocomplete="current-password"
              enterkeyhint="go" {...invalid("password")}
            />
            <button type="button" class="button" aria-pressed={shown} onClick={() => setShown(!shown)}>
              {shown ? words.hide : words.show}
            </button>
          </div>
          {says("password")}
        </div>
        {wrong !== null && wrong.field === null ? <p class={styles.wrong} role="alert">{wrong.say}</p> : null}
        <button type="submit" class="button button-main" disabled={busy}>{busy ? words.going : words.go}</button>
        {session === null ? null : <a class="button button-plain" href="/">{words.toBench}</a>}
      </form>
      {others?.map((other) => <p key={other.name} class="soft">{words.othersWait(other.name, other.count)}</p>)}
    </div>
  );
}
