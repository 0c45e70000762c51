import { useEffect, useRef, useState } from "preact/hooks";
import type { Protocol, ProtocolStep, Stone } from "../../domain/records";
import { GradeInput } from "../../parts/GradeRuler/Input";
import { Page } from "../../parts/Page";
import { Countdown, StrokeCounter } from "../../parts/Timing";
import { elapsedS } from "../../parts/Timing/clock";
import { trial as say } from "../../words/trial";
import { PhotoPick } from "../PhotoPick";
import type { DraftForm } from "../useDraftForm";
import { Ask, stopWatch } from "./Ask";
import { askedAt, leadsOn, photoViewsAt, runningWatches, stepsOf, type TrialDraft } from "./draft";
import { Progress } from "./Progress";
import styles from "./style.module.css";

/** Long enough to see what was tapped. */
const leadOnMs = 450;

/** One step of the protocol: what to do, under which conditions, and what is recorded there. */
export function Step(props: {
  stone: Stone;
  /** Where leaving leads. */
  home: { readonly href: string };
  protocol: Protocol;
  step: ProtocolStep;
  bladeName: string;
  draft: TrialDraft;
  form: DraftForm;
  onGo: (at: string | null) => void;
}) {
  const { protocol, step, draft, form } = props;
  const steps = stepsOf(protocol, draft.brief);
  const here = steps.findIndex((s) => s.id === step.id);
  const asked = askedAt(step, protocol);
  const hasSeconds = asked.observations.some((o) => o.unit === "s");
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    window.scrollTo(0, 0);
    title.current?.focus({ preventScroll: true });
  }, [step.id]);

  const ahead = steps[here + 1];
  const onward = (): void => props.onGo(ahead?.id ?? "review");
  // The answer stands marked for a moment before the next step comes; a second tap meanwhile corrects it.
  const [leaving, setLeaving] = useState(0);
  useEffect(() => {
    if (leaving === 0) return;
    const timer = setTimeout(onward, leadOnMs);
    return () => clearTimeout(timer);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- once for each answer
  }, [leaving]);
  const onAnswered = leadsOn(step, draft) ? () => setLeaving((n) => n + 1) : undefined;
  return (
    <Page
      flow
      wide
      actions={
        <>
          <button type="button" class={`button ${styles.backward}`} onClick={() => props.onGo(steps[here - 1]?.id ?? null)}>{say.previous}</button>
          <button type="button" class={`button button-main ${styles.onward}`} onClick={onward}>
            {ahead ? say.next : say.toReview}
          </button>
        </>
      }
    >
      <header class={styles.top}>
        <div class={styles.where}>
          <a class={styles.leave} href={props.home.href} aria-label={say.leave} title={say.leave}>
            <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M2 2l12 12M14 2 2 14" /></svg>
          </a>
          <p class={styles.subject}><strong>{props.stone.code}</strong> {props.bladeName}</p>
          <p class={styles.count}>{say.stepOf(here + 1, steps.length)}</p>
        </div>
        <Progress at={here} of={steps.length} />
      </header>

      {runningWatches(draft).filter(({ asked: watch }) => !step.records.includes(watch.id)).map(({ asked: watch, startedAt }) => (
        <RunningWatch key={watch.id} name={watch.name} startedAt={startedAt} onStop={(seconds) => stopWatch(form, watch, seconds)} />
      ))}

      <div class={styles.work}>
        <section class={styles.doing}>
          <h1 ref={title} tabIndex={-1} class={styles.title}>{step.title || say.alsoAsked}</h1>
          {step.text && (draft.brief
            // By heart means that it need not be scrolled past each time; the conditions stay in view.
            ? <details><summary class={styles.more}>{say.how}</summary><p>{step.text}</p></details>
            : <p>{step.text}</p>)}
          {step.conditions.length > 0 && (
            <dl class={styles.conditions}>
              {step.conditions.map((condition) => (
                <div key={condition.name}>
                  <dt>{condition.name}</dt>
                  <dd>{condition.value}</dd>
                </div>
              ))}
            </dl>
          )}
        </section>
        <section class={styles.recording}>
          {step.counter && (
            <StrokeCounter
              name={step.counter.name}
              target={step.counter.target}
              count={draft.counts[step.id] ?? 0}
              onCount={(count) => form.set({ [`counts.${step.id}`]: count })}
            />
          )}
          {step.timer_s !== null && !hasSeconds && (
            <Countdown
              lengthS={step.timer_s}
              startedAt={draft.timers[`step:${step.id}`] ?? null}
              onStart={(at) => form.set({ [`timers.step:${step.id}`]: at })}
              onClear={() => form.set({ [`timers.step:${step.id}`]: undefined })}
            />
          )}
          {asked.observations.filter((o) => o.kind !== "text").map((o) => <Ask key={o.id} asked={o} step={step} draft={draft} form={form} onAnswered={onAnswered} />)}
          {onAnswered !== undefined && <p class="note">{say.leadsOn}</p>}
          {photoViewsAt(step).map((view) => (
            <PhotoPick
              key={view}
              view={view}
              name={say.photoOf[view]}
              photos={draft.photos}
              onPhotos={(photos) => form.set({ photos: photos.length === 0 ? undefined : photos })}
            />
          ))}
          {asked.scales.map((scale) => (
            <GradeInput
              key={scale.id}
              scale={scale}
              name={scale.name}
              words={scale.words}
              value={draft.grades[scale.id] ?? null}
              onSet={(grade) => form.set({ [`grades.${scale.id}`]: grade })}
            />
          ))}
          {asked.observations.filter((o) => o.kind === "text").map((o) => <Ask key={o.id} asked={o} step={step} draft={draft} form={form} />)}
        </section>
      </div>
      {form.trouble && <p class="sheet needs-you" role="alert">{say.notKept(form.trouble)}</p>}
    </Page>
  );
}

/** A stopwatch that runs on while the hands are at another step. */
function RunningWatch(props: { name: string; startedAt: number; onStop: (seconds: number) => void }) {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 500);
    return () => clearInterval(timer);
  }, []);
  return (
    <div class={styles.watch}>
      <span>{say.watchRuns(props.name)}</span>
      <strong class="figures">{elapsedS(props.startedAt, now)} s</strong>
      <button type="button" class="button" onClick={() => props.onStop(elapsedS(props.startedAt, Date.now()))}>{say.stopAny}</button>
    </div>
  );
}
