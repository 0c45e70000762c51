import { useId, useState } from "preact/hooks";
import { ownFields, type Role } from "../../domain/records";
import { StateBadge } from "../../parts/StateBadge";
import type { Seen } from "../../store/catalogue";
import { setPassword } from "../../sync/club";
import { saveRecord } from "../../sync/commands";
import { club as say, roleNames } from "../../words/club";
import { RolePicks } from "./RolePicks";
import styles from "./style.module.css";

/** One member: who, as what; a tap opens what can be changed. */
export function MemberRow({ seen, isMe }: { seen: Seen<"member">; isMe: boolean }) {
  const [open, setOpen] = useState(false);
  const { record, state } = seen;
  return (
    <li class={styles.entry}>
      <div class={styles.member}>
        <span>
          <strong>{record.display_name}</strong>{isMe && <span class="soft"> ({say.you})</span>}
          <span class={styles.about}>
            {record.roles.map((role) => roleNames[role].toLowerCase()).join(", ")}{record.active ? "" : `, ${say.inactive}`}
          </span>
        </span>
        {state !== "sent" && <StateBadge state={state} />}
        <button type="button" class="button" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? say.cancel : say.change}<span class="visually-hidden"> {record.display_name}</span>
        </button>
      </div>
      {open && <MemberForm seen={seen} isMe={isMe} onDone={() => setOpen(false)} />}
    </li>
  );
}

function MemberForm({ seen, isMe, onDone }: { seen: Seen<"member">; isMe: boolean; onDone: () => void }) {
  const { record } = seen;
  const id = useId();
  const [name, setName] = useState(record.display_name);
  const [roles, setRoles] = useState<readonly Role[]>(record.roles);
  const [active, setActive] = useState(record.active);
  const [wrong, setWrong] = useState<string | null>(null);

  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (name.trim() === "" || roles.length === 0) {
      setWrong(name.trim() === "" ? say.needsName : say.needsRole);
      return;
    }
    try {
      const body = { ...ownFields("member", record), display_name: name.trim(), roles, active };
      await saveRecord("member", record.id, body, record.version);
      onDone();
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
    }
  };

  return (
    <div class={styles.form}>
      <form class="stack" onSubmit={save} noValidate>
        <p class="soft">{say.signsInAs(record.sign_in_name)}</p>
        <div class="field">
          <label for={id}>{say.name}</label>
          <input id={id} value={name} maxLength={80} autocomplete="off" onInput={(event) => setName(event.currentTarget.value)} />
        </div>
        <RolePicks name={say.roles} roles={roles} locked={isMe && record.roles.includes("steward") ? "steward" : null} onSet={setRoles} />
        <label class={styles.tick}>
          <input type="checkbox" checked={active} disabled={isMe} onChange={(event) => setActive(event.currentTarget.checked)} />
          <span>{say.active}</span>
        </label>
        <p class="note">{isMe ? say.ownSteward : say.activeHelp}</p>
        {wrong !== null && <p class={styles.wrong} role="alert">{wrong}</p>}
        <button type="submit" class="button button-main">{say.save}</button>
      </form>
      {!isMe && <Password memberId={record.id} />}
    </div>
  );
}

function Password({ memberId }: { memberId: string }) {
  const id = useId();
  const [typed, setTyped] = useState("");
  const [shown, setShown] = useState(false);
  const [busy, setBusy] = useState(false);
  const [told, setTold] = useState<{ readonly say: string; readonly wrong: boolean } | null>(null);
  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (typed.length < 12) {
      setTold({ say: say.passwordShort, wrong: true });
      return;
    }
    setBusy(true);
    const answer = await setPassword(memberId, typed);
    setBusy(false);
    if (answer.kind === "here") setTyped("");
    setTold(answer.kind === "here"
      ? { say: say.passwordSet, wrong: false }
      : { say: [say.trouble[answer.kind], answer.detail].join(" ").trim(), wrong: true });
  };
  const secrecy = shown ? ({ type: "text" } as const) : ({ type: "password" } as const);
  return (
    <details>
      <summary class={styles.more}>{say.password}</summary>
      <form class="stack" onSubmit={go} noValidate>
        <div class="field">
          <label for={id}>{say.passwordNew}</label>
          <div class={styles.secret}>
            <input id={id} {...secrecy} value={typed} autocomplete="new-password" maxLength={200} onInput={(event) => setTyped(event.currentTarget.value)} />
            <button type="button" class="button" aria-pressed={shown} onClick={() => setShown(!shown)}>{shown ? say.hide : say.show}</button>
          </div>
          <p class="note">{say.passwordHelp}</p>
        </div>
        {told !== null && <p class={told.wrong ? styles.wrong : ""} role={told.wrong ? "alert" : "status"}>{told.say}</p>}
        <button type="submit" class="button" disabled={busy}>{say.set}</button>
      </form>
    </details>
  );
}
