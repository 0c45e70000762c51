import { useLocation } from "preact-iso";
import { useEffect, useState } from "preact/hooks";
import { StateBadge } from "../../parts/StateBadge";
import { useLive } from "../../store/live";
import { syncNow } from "../../sync/commands";
import { useSyncStatus, type SyncStatus } from "../../sync/status";
import { bench as words, choose } from "../../words/bench";
import { age, kinds, mm } from "../../words/trade";
import type { NextStone } from "./next";
import { OpenWork } from "../Work/OpenWork";
import { useSettled } from "../useSettled";
import { Asked } from "./Asked";
import { readAsked } from "./readAsked";
import { NeedsYou } from "./NeedsYou";
import { findStoneByCode, readBench, readNext, type BenchView, type NextView } from "./read";
import { Scan } from "./Scan";
import styles from "./style.module.css";

const shownNext = 5;
const minuteMs = 60_000;

/** The time, moving on once a minute, so that "3 min ago" stays true while you look. */
function useNow(): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), minuteMs / 2);
    return () => clearInterval(timer);
  }, []);
  return now;
}

/** An invented club is marked as such, unless its name says it already. */
const saysInvented = (name: string): boolean => name.toLowerCase().includes("invented");

const clockTime = (date: Date): string => date.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

/** How fresh the copy on this phone is, and a way to freshen it. */
function Freshness({ status, now }: { readonly status: SyncStatus; readonly now: number }) {
  const said = (): string => {
    if (status.busy) return words.syncing;
    const copy = status.pulledAt === null ? words.never : words.fresh(age(status.pulledAt.toISOString(), now));
    if (!status.online || status.trouble === "no_network") return `${words.noSignal} ${copy}`;
    if (status.trouble === "server_trouble") {
      const until = status.pausedUntil !== null && status.pausedUntil.getTime() > now + minuteMs ? clockTime(status.pausedUntil) : null;
      return `${words.serverTrouble(until)} ${copy}`;
    }
    return copy;
  };
  return (
    <div class={styles.freshness}>
      <p class="soft" role="status">{said()}</p>
      <button type="button" class="button" disabled={status.busy} onClick={() => syncNow()}>{words.syncNow}</button>
    </div>
  );
}

/** Type the code on the label; the stone opens. */
function JumpToStone() {
  const { route } = useLocation();
  const [unknown, setUnknown] = useState<string | null>(null);
  const jump = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const typed = new FormData(form).get("code");
    const code = typeof typed === "string" ? typed.trim() : "";
    if (code === "") return;
    const found = await findStoneByCode(code);
    if (found === null) setUnknown(code);
    else route(`/stones/${found.record.id}`);
  };
  return (
    <form class={styles.jump} onSubmit={jump} role="search">
      <label for="code">{words.codeLabel} <span class="soft">{words.codeHint}</span></label>
      <input
        id="code" name="code" type="search" autocomplete="off" autocapitalize="characters" spellcheck={false}
        enterkeyhint="go" aria-describedby={unknown === null ? undefined : "code-wrong"} aria-invalid={unknown !== null}
        onInput={() => setUnknown(null)}
      />
      <button type="submit" class="button">{words.codeGo}</button>
      {unknown === null ? null : <p class={styles.wrong} id="code-wrong" role="alert">{words.codeUnknown(unknown)}</p>}
    </form>
  );
}

function Next({ view }: { readonly view: NextView | undefined }) {
  if (view === undefined) return <p class="soft">{words.looking}</p>;
  const { next, hasStones } = view;
  if (next.length === 0) return <p>{hasStones ? words.nothingNext : words.noStones}</p>;
  return (
    <>
      <ul class={styles.list}>
        {next.slice(0, shownNext).map(({ stone, why }: NextStone) => (
          <li key={stone.id} class={styles.item}>
            <a class={styles.itemMain} href={`/stones/${stone.id}`}>
              <strong class={styles.code}>{stone.code}</strong>
              <span class={styles.about}>{kinds[stone.kind]}, {mm(stone.length_mm)} long</span>
              <span class="note">{words.why[why]}</span>
            </a>
            <a class="button" href={`/stones/${stone.id}/${why === "inspect_first" ? "inspect" : "trial"}`}>
              {why === "inspect_first" ? words.start.inspect : words.start.trial}
              <span class="visually-hidden"> {stone.code}</span>
            </a>
          </li>
        ))}
      </ul>
      <p class={styles.more}>
        <span class="soft">{words.toDo(next.length)}</span>
        <a href="/stones?state=not_tried">{words.nextMore}</a>
      </p>
    </>
  );
}

/** Half-typed forms, each a tap away. */
function Drafts({ drafts, now }: Pick<BenchView, "drafts"> & { readonly now: number }) {
  return (
    <section class={`stack ${styles.drafts}`}>
      <h2>{words.goOn}</h2>
      <ul class={`sheet ${styles.list}`}>
        {drafts.map(({ draft, code, href }) => (
          <li key={draft.key} class={styles.item}>
            <a class={styles.itemMain} href={href}>
              <strong>{code === null ? words.draft(draft.kind) : words.of(draft.kind, code)}</strong>
              <span class="note">{words.begun(age(draft.touched_at, now))}</span>
            </a>
            <StateBadge state="draft" />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Waiting({ view, status }: { readonly view: BenchView; readonly status: SyncStatus }) {
  return (
    <details class={`sheet ${styles.waiting}`}>
      <summary class={styles.summary}>
        <StateBadge state="waiting" />
        <span>{words.waiting(status.waiting, status.waitingPhotos)}</span>
      </summary>
      <ul class={styles.list}>
        {view.waiting.map(({ entry, sequence, stoneCode, href }) => (
          <li key={sequence} class={styles.item}>
            <a class={styles.itemMain} href={href ?? "/"}>
              <strong>{words.acts[entry.act]}{words.thing(entry.thing, stoneCode)}</strong>
              <span class="note">
                {words.savedAt(clockTime(new Date(entry.recorded_at)))}
                {entry.attempts > 0 ? `, ${words.tries(entry.attempts)}` : ""}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {status.waiting > view.waiting.length && <p class="note">{words.waitingMore(status.waiting - view.waiting.length)}</p>}
    </details>
  );
}

/** What to do next, what goes on, what waits, what needs you. */
export function Bench() {
  const status = useSyncStatus();
  const view = useLive(readBench, []);
  const settled = useSettled(status !== undefined && view !== undefined);
  // One after another, the most pressing first: read at once, each would wait for all.
  const asked = useLive(async () => (settled ? readAsked() : undefined), [settled]);
  const next = useLive(async () => (asked === undefined ? undefined : readNext()), [asked !== undefined]);
  const now = useNow();
  if (status === undefined || view === undefined) return null;

  return (
    <div class={`page ${styles.bench}`}>
      <header class="stack">
        <div class="spread">
          <h1>{words.title}</h1>
          <p class="soft">
            {view.clubName}
            {view.invented && !saysInvented(view.clubName) ? <span class={styles.invented}>{words.invented}</span> : null}
          </p>
        </div>
        <Freshness status={status} now={now} />
        {next !== undefined && <OpenWork />}
      </header>

      <div class={styles.ask}>
        {view.needsYou.length === 0 ? null : (
          <section class={`stack ${styles.urgent}`}>
            <h2>{words.needsYou(view.needsYou.length)}</h2>
            {view.needsYou.map((known) => <NeedsYou key={known.sequence} known={known} names={view.names} />)}
            <p class="note">{choose.asideHelp}</p>
          </section>
        )}
        {asked === undefined ? null : <Asked view={asked} now={now} />}
        <section class={`stack ${styles.next}`}>
          <h2>{words.next}</h2>
          <div class="sheet"><Next view={next} /></div>
          {next !== undefined && !next.hasTried && (
            <div class="sheet">
              <p>{words.practiseLead}</p>
              <a class="button" href="/practice">{words.practise}</a>
            </div>
          )}
        </section>
      </div>

      <div class={styles.ways}>
        <JumpToStone />
        <Scan />
        {view.drafts.length === 0 ? null : <Drafts drafts={view.drafts} now={now} />}
        {status.waiting + status.waitingPhotos === 0 ? null : <Waiting view={view} status={status} />}
      </div>
    </div>
  );
}
