import { useEffect, useRef } from "preact/hooks";
import type { Review, ReviewScale, ReviewTrial } from "../../domain/review";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { SteelSign } from "../../parts/TrialMarks";
import { review as say } from "../../words/review";
import { day } from "../../words/trade";
import { namesOf } from "./Account";
import { OneTrial } from "./OneTrial";
import type { ReviewBase } from "./read";
import styles from "./style.module.css";

/** Below this weight, in grades a grade, a trial counts for nothing: the fit takes it for a slip of the finger. */
const slipBelow = 0.002;

interface Props {
  readonly answer: Review;
  readonly scale: ReviewScale;
  readonly base: ReviewBase;
  readonly steels: readonly string[];
  readonly chosen: string | null;
  readonly onChoose: (id: string | null) => void;
}

/** The trials as rows to tap, the first one first; the chosen one opens. */
export function Trials(props: Props) {
  return (
    <>
      <p class="note">{say.tap}</p>
      <ul class={styles.trials}>
        {props.scale.trials.map((trial) => <Row key={trial.trial_id} {...props} trial={trial} />)}
      </ul>
    </>
  );
}

function Row(props: Props & { readonly trial: ReviewTrial }) {
  const { answer, scale, base, steels, trial, chosen } = props;
  const row = useRef<HTMLLIElement>(null);
  const open = chosen === trial.trial_id;
  useEffect(() => { if (open) row.current?.scrollIntoView({ block: "nearest" }); }, [open]);
  const names = namesOf(base);
  const local = base.trials.get(trial.trial_id);
  // What was decided on this phone and waits stands before what the service says.
  const waits = local !== undefined && local.state !== "sent" && (local.record.excluded !== null) !== (trial.state === "excluded");
  const out = trial.state !== "counts";
  return (
    <li ref={row} class={styles.trial}>
      <button type="button" class={styles.row} aria-expanded={open} onClick={() => props.onChoose(open ? null : trial.trial_id)}>
        <SteelSign steel={steels.indexOf(trial.steel)} out={out} />
        <span class={styles.who}><strong>{names.tester(trial)}</strong> <span class="soft">{names.steel(trial.steel)}, {day(trial.finished_at)}</span></span>
        <span class={`${styles.said} figures`}>
          {trial.corrected === null ? say.gaveOnly(gradeText(trial.reported, scale.step)) : say.gave(gradeText(trial.reported, scale.step), trial.corrected)}
          {trial.weight !== null && `, ${trial.weight < slipBelow ? say.slip : say.weight(trial.weight)}`}
        </span>
        {(trial.flag === "high" || trial.flag === "low") && trial.expected !== null && (
          <span class={styles.flag}>{say.sticksOut(names.tester(trial), names.steel(trial.steel), gradeText(trial.reported, scale.step), trial.expected, trial.flag === "high")}</span>
        )}
        {stateWords(trial, base) && <span class={styles.state}>{stateWords(trial, base)}</span>}
        {waits && <span class={styles.state}>{local.record.excluded === null ? say.states.goesIn : say.states.goesOut}</span>}
      </button>
      {open && <OneTrial answer={answer} scale={scale} base={base} trial={trial} waits={waits} onDone={() => props.onChoose(null)} />}
    </li>
  );
}

function stateWords(trial: ReviewTrial, base: ReviewBase): string {
  if (trial.excluded !== null) return say.states.excluded(base.names.get(trial.excluded.by) ?? say.somebody, day(trial.excluded.at), trial.excluded.reason);
  return trial.state === "off_scale" || trial.state === "not_yet" ? say.states[trial.state] : "";
}
