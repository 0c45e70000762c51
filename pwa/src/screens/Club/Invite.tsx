import { useEffect, useId, useState } from "preact/hooks";
import type { Role } from "../../domain/records";
import { invite, readInvitations, withdrawInvitation, type Invitation, type NewInvitation } from "../../sync/club";
import { useView } from "../../sync/views";
import { club as say, roleNames } from "../../words/club";
import { day } from "../../words/trade";
import { RolePicks } from "./RolePicks";
import styles from "./style.module.css";
import { withViewBox } from "./qr";

/** Inviting somebody, the link that comes of it, and the invitations that are still open. */
export function Invite() {
  const [made, setMade] = useState<NewInvitation | null>(null);
  const [round, setRound] = useState(0);
  return (
    <>
      <section class="sheet">
        <h2>{made === null ? say.invite : say.ready(made.display_name)}</h2>
        {made === null
          ? <InviteForm onMade={(invitation) => { setMade(invitation); setRound(round + 1); }} />
          : <Ready invitation={made} onDone={() => setMade(null)} />}
      </section>
      <Open round={round} onGone={(id) => { if (made?.id === id) setMade(null); }} />
    </>
  );
}

function InviteForm({ onMade }: { onMade: (invitation: NewInvitation) => void }) {
  const id = useId();
  const [name, setName] = useState("");
  const [roles, setRoles] = useState<readonly Role[]>(["tester"]);
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState<string | null>(null);

  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (name.trim() === "" || roles.length === 0) {
      setWrong(name.trim() === "" ? say.needsName : say.needsRole);
      return;
    }
    setBusy(true);
    setWrong(null);
    const answer = await invite(name.trim(), roles);
    setBusy(false);
    if (answer.kind === "here") onMade(answer.value);
    else setWrong([say.trouble[answer.kind], answer.detail].join(" ").trim());
  };

  return (
    <form class="stack" onSubmit={go} noValidate>
      <p class="soft">{say.inviteLead}</p>
      <div class="field">
        <label for={id}>{say.whom}</label>
        <input id={id} value={name} maxLength={80} autocomplete="off" onInput={(event) => setName(event.currentTarget.value)} />
      </div>
      <RolePicks name={say.asWhat} roles={roles} onSet={setRoles} />
      {wrong !== null && <p class={styles.wrong} role="alert">{wrong}</p>}
      <button type="submit" class="button button-main" disabled={busy}>{busy ? say.making : say.make}</button>
    </form>
  );
}

function Ready({ invitation, onDone }: { invitation: NewInvitation; onDone: () => void }) {
  const id = useId();
  const [picture, setPicture] = useState<string | null>(null);
  const [copied, setCopied] = useState<"yes" | "no" | null>(null);
  useEffect(() => {
    // A picture by address: the policy of the page takes no drawing out of a text.
    const url = URL.createObjectURL(new Blob([withViewBox(invitation.qr_svg)], { type: "image/svg+xml" }));
    setPicture(url);
    return () => URL.revokeObjectURL(url);
  }, [invitation]);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(invitation.url);
      setCopied("yes");
    } catch {
      setCopied("no");
    }
  };
  // Missing on desks and on plain http addresses.
  const share = "share" in navigator ? () => navigator.share({ url: invitation.url }).catch(() => undefined) : null;
  return (
    <div class="stack">
      <p class="soft">{say.readyLead}</p>
      {picture !== null && <img class={styles.qr} src={picture} alt={say.qr(invitation.display_name)} width="240" height="240" />}
      <div class="field">
        <label for={id}>{say.link}</label>
        <input id={id} readOnly value={invitation.url} onFocus={(event) => event.currentTarget.select()} />
        <p class="note">{say.until(day(invitation.ends_at))}</p>
      </div>
      {copied === "no" && <p role="alert">{say.notCopied}</p>}
      <div class="row">
        <button type="button" class="button button-main" onClick={copy}>{copied === "yes" ? say.copied : say.copy}</button>
        {share !== null && <button type="button" class="button" onClick={share}>{say.share}</button>}
        <button type="button" class="button button-plain" onClick={onDone}>{say.done}</button>
      </div>
    </div>
  );
}

const isOpen = (invitation: Invitation, now: number): boolean =>
  !invitation.withdrawn && invitation.used_at === null && Date.parse(invitation.ends_at) > now;

function Open({ round, onGone }: { round: number; onGone: (id: string) => void }) {
  const [again, setAgain] = useState(0);
  const [trouble, setTrouble] = useState<string | null>(null);
  const view = useView(readInvitations, [round, again]);
  if (view === undefined) return null;
  if (view.kind !== "here") return <p class="soft">{say.trouble[view.kind]}</p>;
  const open = view.value.items.filter((invitation) => isOpen(invitation, Date.now()));
  const takeBack = async (id: string): Promise<void> => {
    const answer = await withdrawInvitation(id);
    setTrouble(answer.kind === "here" ? null : say.trouble[answer.kind]);
    if (answer.kind === "here") onGone(id);
    setAgain(again + 1);
  };
  return (
    <section class="stack">
      <h2>{say.open}</h2>
      {open.length === 0 && <p class="soft">{say.noneOpen}</p>}
      {trouble !== null && <p class={styles.wrong} role="alert">{trouble}</p>}
      <ul class={styles.list}>
        {open.map((invitation) => (
          <li key={invitation.id} class={styles.member}>
            <span>
              <strong>{invitation.display_name}</strong>
              <span class={styles.about}>{invitation.roles.map((role) => roleNames[role].toLowerCase()).join(", ")}, {say.until(day(invitation.ends_at))}</span>
            </span>
            <button type="button" class="button" onClick={() => takeBack(invitation.id)}>{say.withdraw}</button>
          </li>
        ))}
      </ul>
    </section>
  );
}
