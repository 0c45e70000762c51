import type { ComponentChildren } from "preact";
import type { Protocol } from "../../domain/records";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { change as sayChange } from "../../words/change";
import { ruler as sayRuler } from "../../words/parts";
import { faces, mm } from "../../words/trade";
import { answerText } from "./answerText";
import { askedAt, stepsOf, type TrialDraft } from "./draft";
import styles from "./style.module.css";

/** Everything that was set, line by line; a tap leads to where it is set, if it can still be changed. */
export function Lines(props: { protocol: Protocol; bladeName: string; draft: TrialDraft; onGo?: (at: string | null) => void }) {
  const { protocol, draft, onGo } = props;
  const steps = stepsOf(protocol, false);
  const placeOf = (id: string): string | null => steps.find((step) => step.records.includes(id))?.id ?? null;
  const line = (key: string, at: string | null, children: ComponentChildren) => onGo === undefined
    ? <div key={key} class={styles.line}>{children}</div>
    : <button key={key} type="button" class={styles.line} onClick={() => onGo(at)}>{children}</button>;

  return (
    <section class={styles.lines}>
      {line("bench", null, (
        <>
          <span class={styles.lineName}>{sayChange.bench}</span>
          <span class={styles.lineValue}>
            {[props.bladeName, draft.face === null ? null : faces[draft.face].toLowerCase(), draft.thickness_mm === null ? sayChange.unknownThickness : mm(draft.thickness_mm)].filter(Boolean).join(", ")}
          </span>
        </>
      ))}
      {protocol.scales.map((scale) => {
        const grade = draft.grades[scale.id];
        return grade !== undefined && line(scale.id, placeOf(scale.id), (
          <>
            <span class={styles.lineName}>{scale.name}</span>
            <span class={styles.lineGrade}>{gradeText(grade, scale.step)}</span>
            <span class={styles.lineRuler}>
              <GradeRuler scale={scale} size="page" grade={grade} label={sayRuler.own(scale.name, grade)} />
            </span>
          </>
        ));
      })}
      {steps.flatMap((step) => askedAt(step, protocol).observations).map((asked) => {
        const value = draft.observations[asked.id];
        return value !== undefined && value !== null && value !== "" && line(asked.id, placeOf(asked.id), (
          <>
            <span class={styles.lineName}>{asked.name}</span>
            <span class={styles.lineValue}>{answerText(asked, value)}</span>
          </>
        ));
      })}
    </section>
  );
}
