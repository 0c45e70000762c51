import { useState } from "preact/hooks";
import { useLive } from "../../store/live";
import { chooseLook, looks, readLook, type Look } from "../../store/look";
import { readOthersWaiting } from "../../store/outbox";
import { putBack } from "../../sync/commands";
import { useSyncStatus } from "../../sync/status";
import { bench } from "../../words/bench";
import { me as words } from "../../words/me";
import { day } from "../../words/trade";
import { readSetAside } from "../Bench/read";
import { Naming } from "./Naming";
import { QueueFile } from "./QueueFile";
import { SignOut } from "./SignOut";
import { Storage } from "./Storage";
import styles from "./style.module.css";

function ChooseLook() {
  const [look, setLook] = useState<Look>(readLook);
  const choose = (wanted: Look): void => {
    chooseLook(wanted);
    setLook(wanted);
  };
  return (
    <fieldset class={`sheet ${styles.looks}`}>
      <legend><h2>{words.look}</h2></legend>
      {looks.map((one) => (
        <label key={one} class={styles.look}>
          <input type="radio" name="look" value={one} checked={look === one} onChange={() => choose(one)} />
          {words.looks[one]}
        </label>
      ))}
      <p class={`note ${styles.wide}`}>{words.lookHelp}</p>
    </fieldset>
  );
}

/** What was set aside: still here, still yours. */
function SetAside() {
  const aside = useLive(readSetAside, []);
  if (aside === undefined || aside.length === 0) return null;
  return (
    <section class="sheet">
      <h2>{words.aside}</h2>
      <p class="note">{words.asideHelp}</p>
      {aside.map(({ entry, sequence, stoneCode }) => (
        <div key={sequence} class={styles.aside}>
          <p>
            <strong>{bench.acts[entry.act]}{bench.thing(entry.thing, stoneCode)}</strong>
            <span class="note"> {bench.savedAt(`${day(entry.recorded_at)}, ${new Date(entry.recorded_at).toLocaleTimeString("en-GB", { timeStyle: "short" })}`)}</span>
          </p>
          <button type="button" class="button" onClick={() => putBack(sequence)}>{words.putBack}</button>
        </div>
      ))}
    </section>
  );
}

/** Who you are, and what this phone holds of you. */
export function Me() {
  const status = useSyncStatus();
  const others = useLive(() => readOthersWaiting(), []);
  if (status?.session == null) return null;
  const { member, club } = status.session;

  return (
    <div class="page">
      <header>
        <h1>{member.display_name}</h1>
        <p class="soft">{words.rolesOf(member.roles)} {words.at(club.name)}</p>
      </header>
      <p class="row">
        <a class="button" href="/mine">{words.mine}</a>
        <a class="button" href="/guide">{words.guide}</a>
        <a class="button" href="/protocols">{words.protocols}</a>
        {member.roles.includes("steward") && <a class="button" href="/club">{words.club}</a>}
        <a class="button" href="/rules">{words.rules}</a>
        <a class="button" href="/work">{words.work}</a>
      </p>
      <Naming memberId={member.id} name={member.display_name} />
      <ChooseLook />
      <Storage full={status.storageFull} />
      <QueueFile records={status.waiting + status.needsYou} photos={status.waitingPhotos} />
      <SetAside />
      {others?.map((other) => <p key={other.name} class="soft">{words.others(other.name, other.count)}</p>)}
      <SignOut unsent={status.waiting + status.waitingPhotos + status.needsYou} />
    </div>
  );
}
