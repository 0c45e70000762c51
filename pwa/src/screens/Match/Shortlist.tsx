import { useEffect, useId, useState } from "preact/hooks";
import type { Shortlist as ShortlistRecord } from "../../domain/records";
import { Fact, Facts } from "../../parts/Fields";
import { Head, Page } from "../../parts/Page";
import { readOne, type Seen } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { retry, setAside } from "../../sync/commands";
import { match as sayMatch, shortlist as say } from "../../words/match";
import { day } from "../../words/trade";
import { withViewBox } from "../Club/qr";
import { AskWithdraw } from "../Stone/AskWithdraw";
import styles from "./style.module.css";

const linkOf = (record: Pick<ShortlistRecord, "code">): string => `${location.origin}/m/${record.code}`;

/** One shortlist: on its way, refused, or fixed with its link. */
export function Shortlist({ id }: { readonly id: string }) {
  const seen = useLive(async () => (await readOne("shortlist", id)) ?? null, [id]);
  const back = { href: "/match", words: say.back };
  if (seen === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (seen === null) return <Page><Head back={back} title={say.title} /><p>{say.notHere}</p></Page>;
  const { record } = seen;
  return (
    <Page>
      <Head back={back} title={record.name}>
        {record.made_on !== "" && <p class="soft">{say.made(day(record.made_on))}</p>}
      </Head>
      {record.withdrawn && <p class="sheet needs-you">{say.withdrawn(day(record.withdrawn.at), record.withdrawn.reason)}</p>}
      {record.code === "" ? <Underway seen={seen} /> : <Link key={record.code} record={record} />}
      {record.notes !== "" && <p>{record.notes}</p>}
      {record.found && <Fixed found={record.found} />}
      {record.code !== "" && <Withdraw record={record} />}
    </Page>
  );
}

function Underway({ seen }: { readonly seen: Seen<"shortlist"> }) {
  const { state, problem, sequence } = seen;
  if (state !== "needs_you") {
    return <div class="sheet" role="status"><h2>{say.waiting}</h2><p>{say.waitingLead}</p></div>;
  }
  return (
    <div class="sheet needs-you" role="alert">
      <h2>{say.refused}</h2>
      <p>{problem?.detail || problem?.title}</p>
      <ul class={styles.lines}>{(problem?.errors ?? []).map((error) => <li key={error.field}>{error.message}</li>)}</ul>
      {sequence !== null && (
        <div class="row">
          <button type="button" class="button" onClick={() => retry(sequence)}>{say.retry}</button>
          <button type="button" class="button button-plain" onClick={() => setAside(sequence)}>{say.drop}</button>
        </div>
      )}
    </div>
  );
}

function Link({ record }: { readonly record: ShortlistRecord }) {
  const id = useId();
  const url = linkOf(record);
  const [picture, setPicture] = useState<string | null>(null);
  const [copied, setCopied] = useState<"yes" | "no" | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let current = true;
    // The encoder comes on this page alone; a picture by address, for the page's policy takes no drawing out of a text.
    void import("qr").then(({ encodeQR }) => {
      if (!current) return;
      made = URL.createObjectURL(new Blob([withViewBox(encodeQR(url, "svg"))], { type: "image/svg+xml" }));
      setPicture(made);
    });
    return () => {
      current = false;
      if (made !== null) URL.revokeObjectURL(made);
    };
  }, [url]);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(url);
      setCopied("yes");
    } catch {
      setCopied("no");
    }
  };
  // Missing on desks and on plain http addresses.
  const share = "share" in navigator ? () => navigator.share({ title: record.name, url }).catch(() => undefined) : null;
  return (
    <div class="sheet">
      <p class="soft">{say.qrLead}</p>
      {picture !== null && <img class={styles.qr} src={picture} alt={say.qr(record.name)} width="240" height="240" />}
      <div class="field">
        <label for={id}>{say.link}</label>
        <input id={id} readOnly value={url} onFocus={(event) => event.currentTarget.select()} />
      </div>
      {copied === "no" && <p role="alert">{say.notCopied}</p>}
      <div class="row">
        <a class="button button-main" href={`/m/${record.code}`} target="_blank" rel="noopener">{say.page}</a>
        <button type="button" class="button" onClick={copy}>{copied === "yes" ? say.copied : say.copy}</button>
        {share !== null && <button type="button" class="button" onClick={share}>{say.share}</button>}
      </div>
    </div>
  );
}

function Fixed({ found }: { readonly found: NonNullable<ShortlistRecord["found"]> }) {
  return (
    <>
      <section class="stack">
        <h2>{say.stones}</h2>
        <ol class={styles.made}>
          {found.stones.map((stone) => (
            <li key={stone.stone_id}>
              <a class={styles.one} href={`/stones/${stone.stone_id}`}>
                <strong>{stone.code}</strong>
                <span>{sayMatch.serves(stone.odds)} <span class="soft figures">{sayMatch.percent(stone.probability)}</span></span>
              </a>
            </li>
          ))}
        </ol>
      </section>
      <section class="stack">
        <h2>{say.wish}</h2>
        <Facts>
          <Fact name={say.finish}>{found.finish_words}</Fact>
          <Fact name={say.skill}>{found.skill_words}</Fact>
          {found.owned_words !== null && <Fact name={say.owned}>{found.owned_words}</Fact>}
          {found.needs.map((need, n) => <Fact key={n} name={say.blade}>{need.blade}</Fact>)}
        </Facts>
        <p class="note">{found.verdict}</p>
      </section>
    </>
  );
}

function Withdraw({ record }: { readonly record: ShortlistRecord }) {
  const [asking, setAsking] = useState(false);
  if (record.withdrawn !== null) return null;
  return asking
    ? <AskWithdraw thing="shortlist" id={record.id} help={say.withdrawHelp} onDone={() => setAsking(false)} />
    : <p><button type="button" class={`button button-plain ${styles.flush}`} onClick={() => setAsking(true)}>{say.withdraw}</button></p>;
}
