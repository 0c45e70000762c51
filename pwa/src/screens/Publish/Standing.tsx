import type { RefObject } from "preact";
import { useId, useMemo, useRef, useState } from "preact/hooks";
import type { Readiness } from "../../domain/publishing";
import type { Protocol, Purpose } from "../../domain/records";
import { newId, saveRecord } from "../../sync/commands";
import type { View } from "../../sync/views";
import { review as sayReview } from "../../words/review";
import { publish as say } from "../../words/publish";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { AskReason } from "./AskReason";
import { Blocks } from "./Blocks";
import { Rulers } from "./Rulers";
import styles from "./style.module.css";

/** The grades as they stand, what the service says of publishing them, and the button that does. */
export function Standing(props: {
  readonly stoneId: string;
  readonly purpose: Purpose;
  readonly protocols: readonly Protocol[];
  readonly view: View<Readiness> | undefined;
  /** A slip stands already. */
  readonly anew: boolean;
  readonly onAgain: () => void;
}) {
  const { view } = props;
  if (view === undefined) return <p class="soft" role="status">{say.asking}</p>;
  if (view.kind !== "here") {
    return (
      <div class="stack">
        <p role="status">{say.trouble[view.kind] ?? say.trouble["trouble"]}</p>
        {view.kind === "trouble" && view.detail !== "" && <p class="soft">{view.detail}</p>}
        <p>
          {view.kind === "signed_out"
            ? <a class="button" href="/sign-in">{say.signIn}</a>
            : <button type="button" class="button" onClick={props.onAgain}>{say.again}</button>}
        </p>
      </div>
    );
  }
  return <Known {...props} readiness={view.value} />;
}

function Known(props: {
  readonly stoneId: string;
  readonly purpose: Purpose;
  readonly protocols: readonly Protocol[];
  readonly readiness: Readiness;
  readonly anew: boolean;
}) {
  const { stoneId, purpose, readiness, protocols } = props;
  // Made once for what is on the screen: two taps on the button are one slip.
  const id = useMemo(() => newId(), []);
  const [asking, setAsking] = useState(false);
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState<string | null>(null);
  const tried = readiness.grades.filter((grade) => grade.n_trials > 0);
  const grades = inProtocolOrder(tried, protocols.filter((protocol) => protocol.purpose === purpose));
  const most = grades.reduce<(typeof grades)[number] | null>((best, one) => (best === null || one.n_trials > best.n_trials ? one : best), null);

  const notes = useRef<HTMLTextAreaElement>(null);
  const save = (override_reason: string | null): Promise<void> =>
    saveRecord("slip", id, { stone_id: stoneId, purpose, override_reason, notes: notes.current?.value.trim() ?? "" }, null);
  const publish = async (): Promise<void> => {
    setBusy(true);
    try {
      await save(null);
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
      setBusy(false);
    }
  };

  return (
    <div class={styles.columns}>
      <div class="stack">
        {grades.length > 0 && <Rulers grades={grades} />}
        {most && <p class="figures">{say.evidence(most.n_trials, most.n_testers, most.n_steels)}.</p>}
        {most && <p><a class="button" href={`/stones/${stoneId}/review?purpose=${purpose}`}>{sayReview.link}</a></p>}
      </div>
      <section class="stack">
        <h3 class={readiness.ready ? styles.ready : styles.blocked}>
          {readiness.ready ? say.ready : say.inTheWay(readiness.blocks.length)}
        </h3>
        {readiness.ready
          ? <p>{say.readyLead}</p>
          : <Blocks blocks={readiness.blocks} stoneId={stoneId} purpose={purpose} />}
        {grades.length === 0 ? <p class="note">{say.untried}</p> : <p class="note">{say.fixed}</p>}
        {grades.length > 0 && <Notes box={notes} />}
        {wrong !== null && <p class={styles.wrong} role="alert">{wrong}</p>}
        {readiness.ready && (
          <button type="button" class="button button-main" disabled={busy} onClick={() => void publish()}>
            {busy ? say.saving : props.anew ? say.publishAnew : say.publish}
          </button>
        )}
        {!readiness.ready && grades.length > 0 && (asking
          ? <AskReason onGo={save} onLater={() => setAsking(false)} />
          : <p><button type="button" class="button" onClick={() => setAsking(true)}>{say.withReason}</button></p>)}
      </section>
    </div>
  );
}

/** What the club wants to remember of this slip; folded away, since most slips need none. */
function Notes({ box }: { readonly box: RefObject<HTMLTextAreaElement | null> }) {
  const id = useId();
  return (
    <details>
      <summary class={styles.more}>{say.addNotes}</summary>
      <div class="field">
        <label for={id}>{say.notes}</label>
        <textarea id={id} ref={box} rows={2} maxLength={4000} aria-describedby={`${id}-help`} />
        <p class="note" id={`${id}-help`}>{say.notesHelp}</p>
      </div>
    </details>
  );
}
