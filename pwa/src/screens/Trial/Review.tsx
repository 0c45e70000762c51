import type { Protocol, Stone } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { change as sayChange } from "../../words/change";
import { trial as say } from "../../words/trial";
import { leftOpen, missing, stepsOf, type OpenItem, type TrialDraft } from "./draft";
import { Lines } from "./Lines";
import styles from "./style.module.css";

/** Everything set so far, and what is missing by name, before the trial is saved. */
export function Review(props: {
  stone: Stone;
  /** Where leaving leads. */
  home: { readonly href: string };
  saveWords: string;
  protocol: Protocol;
  bladeName: string;
  draft: TrialDraft;
  /** A trial that is there already is being changed, and whether anything was; null: it is a new one. */
  changing: "untouched" | "touched" | null;
  saving: boolean;
  failed: string | null;
  onGo: (at: string | null) => void;
  onSave: () => void;
}) {
  const { protocol, draft, changing, onGo } = props;
  const open = missing(draft, { blade: say.bladeName, face: say.faceName, grade: say.grade });
  const missed = new Set(open.map((item) => item.id));
  // What is missing by itself need not be named a second time among what may stay open.
  const mayStay = leftOpen(draft).filter((item) => !missed.has(item.id));
  const go = (item: OpenItem): void => onGo(item.at === "setup" ? null : item.at);
  const first = open[0];

  return (
    <Page
      flow
      actions={
        <>
          <button type="button" class={`button ${styles.backward}`} onClick={() => onGo(stepsOf(protocol, draft.brief).at(-1)?.id ?? null)}>{say.previous}</button>
          {first
            ? <button type="button" class={`button button-main ${styles.onward}`} onClick={() => go(first)}>{say.firstMissing}</button>
            : (
              <button
                type="button"
                class={`button button-main ${styles.onward}`}
                disabled={props.saving || changing === "untouched"}
                onClick={props.onSave}
              >
                {props.saving ? say.saving : changing === null ? props.saveWords : changing === "touched" ? sayChange.save : sayChange.nothingYet}
              </button>
            )}
        </>
      }
    >
      {changing === null ? (
        <Head title={say.review}>
          <p><strong>{props.stone.code}</strong> {props.bladeName}</p>
          <p class="soft">{say.reviewLead}</p>
        </Head>
      ) : (
        <Head back={{ href: props.home.href, words: sayChange.back }} title={sayChange.trialTitle(props.stone.code)}>
          <p class="soft">{sayChange.lead}</p>
        </Head>
      )}
      {props.failed && <p class="sheet needs-you" role="alert">{say.notSaved} {props.failed}</p>}
      {open.length > 0 && (
        <section class="sheet needs-you">
          <h2>{say.missing(open.length)}</h2>
          <p>{say.missingLead}</p>
          <Items items={open} onGo={go} />
        </section>
      )}

      <Lines protocol={protocol} bladeName={props.bladeName} draft={draft} onGo={onGo} />

      {mayStay.length > 0 && (
        <section class="stack">
          <h2>{say.leftOpen}</h2>
          <p class="soft">{say.leftOpenLead}</p>
          <Items items={mayStay} onGo={go} />
        </section>
      )}
    </Page>
  );
}

function Items({ items, onGo }: { items: readonly OpenItem[]; onGo: (item: OpenItem) => void }) {
  return (
    <ul class={styles.items}>
      {items.map((item) => (
        <li key={item.id}><button type="button" class="button" onClick={() => onGo(item)}>{item.name}</button></li>
      ))}
    </ul>
  );
}
