import { useState } from "preact/hooks";
import { Head, Page } from "../../parts/Page";
import { readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { useLive } from "../../store/live";
import { readTables } from "../../sync/exporting";
import type { View } from "../../sync/views";
import { exporting as say } from "../../words/export";
import { Bundle } from "./Bundle";
import { saveFile } from "./saveFile";
import styles from "./style.module.css";

async function readExportPage() {
  const session = await readSession();
  return {
    mayDeal: mayDeal(session),
    isSteward: session?.member.roles.includes("steward") ?? false,
    club: session?.club.name ?? "",
    slug: session?.club.slug ?? "club",
  };
}

/** What the club can take away: open tables for any program, and the whole of it to move or to keep. */
export function Export() {
  const page = useLive(readExportPage, []);
  if (page === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const back = page.mayDeal ? { href: "/desk", words: say.back } : { href: "/", words: say.backBench };
  if (!page.mayDeal) return <Page><Head back={back} title={say.title} /><p>{say.notForYou}</p></Page>;
  return (
    <Page wide>
      <Head back={back} title={say.title}><p class="soft">{page.club}</p></Head>
      <div class={styles.columns}>
        <Tables slug={page.slug} />
        {page.isSteward ? <Bundle slug={page.slug} /> : <p class="soft">{say.bundleForSteward}</p>}
      </div>
    </Page>
  );
}

function Tables({ slug }: { readonly slug: string }) {
  const [state, setState] = useState<View<Blob> | "asking" | null>(null);
  const get = async (): Promise<void> => {
    setState("asking");
    const view = await readTables();
    setState(view);
    if (view.kind === "here") saveFile(view.value, say.tablesFile(slug, new Date()));
  };
  return (
    <section class="sheet">
      <h2>{say.tables}</h2>
      <p>{say.tablesLead}</p>
      <ul class={styles.holds}>{say.tablesHold.map((one) => <li key={one}>{one}</li>)}</ul>
      <p class={styles.mind}>{say.tablesMind}</p>
      <button type="button" class="button button-main" disabled={state === "asking"} onClick={() => void get()}>
        {state === "asking" ? say.making : say.getTables}
      </button>
      <Told state={state} />
      <details>
        <summary class={styles.more}>{say.tablesHow}</summary>
        <div class="stack">{say.tablesSteps.map((one) => <p key={one}>{one}</p>)}</div>
      </details>
    </section>
  );
}

/** What became of it, in a sentence. */
export function Told({ state }: { readonly state: View<Blob> | "asking" | null }) {
  if (state === null) return null;
  if (state === "asking") return <p class="note" role="status">{say.makingLong}</p>;
  if (state.kind === "here") return <p role="status">{say.saved(say.size(state.value.size))}</p>;
  return <p class={styles.wrong} role="alert">{[say.trouble[state.kind], state.kind === "no_network" ? "" : state.detail].join(" ").trim()}</p>;
}
