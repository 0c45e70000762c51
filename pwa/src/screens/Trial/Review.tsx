import type { Protocol, Stone } from "../../domain/records";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { Head, Page } from "../../parts/Page";
import { ruler as sayRuler } from "../../words/parts";
import { change as sayChange } from "../../words/change";
import { faces, mm } from "../../words/trade";
import { trial as say } from "../../words/trial";
import { answerText } from "./answerText";
import { askedAt, leftOpen, missing, stepsOf, type OpenItem, type TrialDraft } from "./draft";
import styles from "./style.module.css";

/** Everything set so far, and what is missing by name, before the trial is saved. */
export function Review(props: {
  stone: Stone;
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
  const steps = stepsOf(protocol, false);
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
                {props.saving ? say.saving : changing === null ? say.save : changing === "touched" ? sayChange.save : sayChange.nothingYet}
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
        <Head back={{ href: `/stones/${props.stone.id}`, words: sayChange.back }} title={sayChange.trialTitle(props.stone.code)}>
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

      <section class={styles.lines}>
        <button type="button" class={styles.line} onClick={() => onGo(null)}>
          <span class={styles.lineName}>{sayChange.bench}</span>
          <span class={styles.lineValue}>
            {[props.bladeName, draft.face === null ? null : faces[draft.face].toLowerCase(), draft.thickness_mm === null ? sayChange.unknownThickness : mm(draft.thickness_mm)].filter(Boolean).join(", ")}
          </span>
        </button>
        {protocol.scales.map((scale) => {
          const grade = draft.grades[scale.id];
          return grade !== undefined && (
            <button key={scale.id} type="button" class={styles.line} onClick={() => onGo(placeOf(protocol, scale.id))}>
              <span class={styles.lineName}>{scale.name}</span>
              <span class={styles.lineGrade}>{gradeText(grade, scale.step)}</span>
              <span class={styles.lineRuler}>
                <GradeRuler scale={scale} size="page" grade={grade} label={sayRuler.own(scale.name, grade)} />
              </span>
            </button>
          );
        })}
        {steps.flatMap((step) => askedAt(step, protocol).observations).map((asked) => {
          const value = draft.observations[asked.id];
          return value !== undefined && value !== null && value !== "" && (
            <button key={asked.id} type="button" class={styles.line} onClick={() => onGo(placeOf(protocol, asked.id))}>
              <span class={styles.lineName}>{asked.name}</span>
              <span class={styles.lineValue}>{answerText(asked, value)}</span>
            </button>
          );
        })}
      </section>

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

const placeOf = (protocol: Protocol, id: string): string | null =>
  stepsOf(protocol, false).find((step) => step.records.includes(id))?.id ?? null;

function Items({ items, onGo }: { items: readonly OpenItem[]; onGo: (item: OpenItem) => void }) {
  return (
    <ul class={styles.items}>
      {items.map((item) => (
        <li key={item.id}><button type="button" class="button" onClick={() => onGo(item)}>{item.name}</button></li>
      ))}
    </ul>
  );
}
