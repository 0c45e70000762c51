import { useId, useRef, useState } from "preact/hooks";
import type { Pooled, StoneGrade } from "../../domain/pooled";
import { effects, foretold, type Effect, type Review, type ReviewScale, type ReviewTrial } from "../../domain/review";
import { signed } from "../../parts/Chart/axis";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { excludeTrial, includeTrial } from "../../sync/commands";
import { readWhatIf } from "../../sync/review";
import type { View } from "../../sync/views";
import { ruler as sayRuler } from "../../words/parts";
import { review as say } from "../../words/review";
import { namesOf } from "./Account";
import type { ReviewBase } from "./read";
import styles from "./style.module.css";

interface Props {
  readonly answer: Review;
  readonly scale: ReviewScale;
  readonly base: ReviewBase;
  readonly trial: ReviewTrial;
  readonly waits: boolean;
  readonly onDone: () => void;
}

/** A trial opened: what was taken out of it, what it does, and leaving it out or putting it back, seen before it is kept. */
export function OneTrial(props: Props) {
  const { answer, scale, base, trial } = props;
  const [then, setThen] = useState<View<Pooled> | "asking" | null>(null);
  const act = trial.state === "excluded" ? "include" : "exclude";
  const names = namesOf(base);
  const given = gradeText(trial.reported, scale.step);

  const see = async (): Promise<void> => {
    setThen("asking");
    setThen(await readWhatIf(answer.stone_id, answer.purpose, trial.trial_id, act));
  };

  return (
    <div class={styles.open}>
      {trial.severity !== null && trial.steel_lean !== null && trial.corrected !== null && (
        <p>
          {trial.severity >= 0 ? say.lower(names.tester(trial), trial.severity) : say.higher(names.tester(trial), trial.severity)}{" "}
          {trial.steel_lean >= 0 ? say.steelUp(trial.steel_lean) : say.steelDown(trial.steel_lean)}{" "}
          {say.leaves(given, trial.corrected)}
        </p>
      )}
      {trial.pull !== null && <p>{say.pulls(scale.name, trial.pull)}</p>}
      {!props.waits && (trial.state === "counts" || trial.state === "excluded") && (
        <>
          {then === null && <button type="button" class="button" onClick={() => void see()}>{act === "exclude" ? say.tryWithout : say.tryWith}</button>}
          {then === "asking" && <p class="soft" role="status">{say.working}</p>}
          {then !== null && then !== "asking" && (
            <>
              <div role="status" class="stack">
                {then.kind === "here"
                  ? <Seen effects={effects(answer, trial.trial_id, then.value.scales)} scales={answer.scales} act={act} />
                  : <Unseen kind={then.kind} answer={answer} trial={trial} />}
              </div>
              {then.kind !== "not_allowed" && then.kind !== "not_found" && <Decide {...props} act={act} onBack={() => setThen(null)} />}
            </>
          )}
        </>
      )}
    </div>
  );
}

/** The stone's grades now and then, a pair of rulers for each scale. */
function Seen(props: { effects: readonly Effect[]; scales: readonly ReviewScale[]; act: "exclude" | "include" }) {
  return (
    <>
      <h3>{say.effect[props.act]}</h3>
      <ul class={styles.effects}>
        {props.effects.map((effect) => {
          const scale = props.scales.find((one) => one.scale === effect.scale);
          return scale && (
            <li key={effect.scale} class={styles.effect}>
              <span class={styles.effectName}>{effect.name}</span>
              <span class={styles.moves}>{effect.now && effect.then ? signed(effect.then.grade - effect.now.grade, 2) : ""}</span>
              <When word={say.now} scale={scale} grade={effect.now} />
              <When word={say.then} scale={scale} grade={effect.then} />
            </li>
          );
        })}
      </ul>
    </>
  );
}

function When({ word, scale, grade }: { word: string; scale: ReviewScale; grade: StoneGrade | null }) {
  if (grade === null || grade.n_trials === 0) return <span class={styles.when}><span class="soft">{word}</span> {say.untouched}</span>;
  return (
    <span class={styles.when}>
      <span class="soft">{word}</span>
      <strong class="figures">{gradeText(grade.grade, 0.1)}</strong>
      <span class="note figures">{gradeText(grade.low90, 0.1)}–{gradeText(grade.high90, 0.1)}</span>
      <span class={styles.ruler}>
        <GradeRuler scale={scale} size="row" grade={grade.grade} low90={grade.low90} high90={grade.high90} label={`${word}: ${sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}`} />
      </span>
    </span>
  );
}

/** Without an answer: why, and what the kept pulls foretell. */
function Unseen({ kind, answer, trial }: { kind: string; answer: Review; trial: ReviewTrial }) {
  const guesses = foretold(answer, trial.trial_id);
  return (
    <>
      <p>{say.noEffect[kind] ?? say.noEffect["trouble"]}</p>
      {guesses.length > 0 && <p>{say.guessLead} {guesses.map(({ name, by }) => say.guess(name, by)).join(" ")}</p>}
    </>
  );
}

/** Keeping it, with a reason, or not. */
function Decide({ trial, act, onBack, onDone }: Props & { act: "exclude" | "include"; onBack: () => void }) {
  const id = useId();
  const why = useRef<HTMLTextAreaElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);

  const keep = async (event: Event): Promise<void> => {
    event.preventDefault();
    const reason = why.current?.value.trim() ?? "";
    if (act === "exclude" && reason === "") {
      setWrong(say.needsReason);
      why.current?.focus();
      return;
    }
    try {
      await (act === "exclude" ? excludeTrial(trial.trial_id, reason) : includeTrial(trial.trial_id));
      onDone();
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
    }
  };

  return (
    <form class="stack" onSubmit={keep} noValidate>
      {act === "exclude" && (
        <div class="field">
          <label for={id}>{say.why}</label>
          <textarea id={id} ref={why} rows={2} maxLength={500} aria-invalid={wrong !== null} aria-describedby={`${id}-help`} />
          <p id={`${id}-help`} class="note">{say.whyHelp}</p>
        </div>
      )}
      {wrong !== null && <p class={styles.flag} role="alert">{wrong}</p>}
      <div class="row">
        <button type="button" class="button" onClick={onBack}>{say.keepAsIs}</button>
        <button type="submit" class="button button-hand">{act === "exclude" ? say.leaveOut : say.putBack}</button>
      </div>
    </form>
  );
}
