import type { ObservationAsked, ObservationValue, ProtocolStep } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { NumberField, TextField } from "../../parts/Fields";
import { GritBandInput } from "../../parts/GritBand";
import { Stopwatch } from "../../parts/Timing";
import { trial as say } from "../../words/trial";
import type { DraftForm } from "../useDraftForm";
import { isBand, type TrialDraft } from "./draft";
import { MudCamera } from "./MudCamera";
import styles from "./style.module.css";

/** One observation as the protocol asks it, by its kind. */
export function Ask(props: {
  asked: ObservationAsked;
  step: ProtocolStep;
  draft: TrialDraft;
  form: DraftForm;
  /** Called after an answer that was given with one tap. */
  onAnswered?: (() => void) | undefined;
}) {
  const { asked, draft, form } = props;
  const value = draft.observations[asked.id] ?? null;
  const set = (next: ObservationValue | undefined): void => form.set({ [`observations.${asked.id}`]: next ?? undefined });
  const name = asked.required ? `${asked.name} (${say.required})` : asked.name;
  const choose = (next: ObservationValue): void => {
    set(next);
    props.onAnswered?.();
  };
  const clear = asked.required ? undefined : () => set(undefined);

  switch (asked.kind) {
    case "choice": {
      const long = asked.choices.some((choice) => choice.words.length > 22);
      const chosen = typeof value === "string" || typeof value === "number" ? value : null;
      const choice = (
        <Choice
          name={name}
          help={asked.help}
          lay={long ? "rows" : "tiles"}
          options={asked.choices.map((choice) => ({
            value: choice.value,
            words: choice.words,
            ...(asked.id === "mud_shade" && typeof choice.value === "number" ? { shade: choice.value } : {}),
          }))}
          value={chosen}
          onChoose={choose}
          onClear={clear}
          clearWords={say.leaveOpen}
        />
      );
      if (asked.id !== "mud_shade") return choice;
      return (
        <div class="stack">
          {choice}
          <MudCamera asked={asked} own={chosen} form={form} />
        </div>
      );
    }
    case "yes_no":
      return (
        <Choice
          name={name}
          help={asked.help}
          lay="strip"
          options={[{ value: true, words: say.yes }, { value: false, words: say.no }]}
          value={typeof value === "boolean" ? value : null}
          onChoose={choose}
          onClear={clear}
          clearWords={say.leaveOpen}
        />
      );
    case "grit_band":
      return <GritBandInput name={name} help={asked.help} value={isBand(value) ? value : null} onSet={(band) => set(band)} />;
    case "text":
      return <TextField name={name} help={asked.help} value={typeof value === "string" ? value : ""} onSet={set} />;
    case "number":
      return <AskNumber {...props} value={typeof value === "number" ? value : null} set={set} name={name} />;
  }
}

/** A number: seconds come with a stopwatch, strokes can be taken from the step's counter. */
function AskNumber(props: {
  asked: ObservationAsked;
  step: ProtocolStep;
  draft: TrialDraft;
  form: DraftForm;
  value: number | null;
  name: string;
  set: (value: number | undefined) => void;
  onAnswered?: (() => void) | undefined;
}) {
  const { asked, step, draft, form, value, set } = props;
  const count = step.counter === null ? undefined : draft.counts[step.id];
  const counted = step.counter !== null && asked.unit === step.counter.name;
  const field = (name: string, help: string | undefined) => (
    <NumberField
      name={name}
      {...(help === undefined ? {} : { help })}
      unit={asked.unit}
      low={asked.low}
      high={asked.high}
      value={value}
      onSet={(next) => set(next ?? undefined)}
    />
  );

  if (asked.unit === "s") {
    const drop = asked.id === "water_uptake_s";
    return (
      <section class="stack">
        <h2>{props.name}</h2>
        <p class="soft">{asked.help}</p>
        <Stopwatch
          startedAt={draft.timers[asked.id] ?? null}
          seconds={value}
          startWords={drop ? say.start : say.startAny}
          stopWords={drop ? say.stop : say.stopAny}
          onStart={(at) => form.set({ [`timers.${asked.id}`]: at })}
          onStop={(seconds) => {
            stopWatch(form, asked, seconds);
            props.onAnswered?.();
          }}
          onAgain={() => form.set({ [`observations.${asked.id}`]: undefined })}
        />
        {draft.timers[asked.id] === undefined && field(say.orType, undefined)}
      </section>
    );
  }
  return (
    <div class="stack">
      {counted && (
        <button
          type="button"
          class={`button ${styles.take}`}
          disabled={count === undefined || count === 0}
          onClick={() => set(Math.min(count ?? 0, asked.high ?? Infinity))}
        >
          {say.takeCount(asked.name, count ?? 0)}
        </button>
      )}
      {field(props.name, asked.help)}
    </div>
  );
}

/** Stops an observation's stopwatch; a time beyond what the protocol asks for is written as its limit. */
export function stopWatch(form: DraftForm, asked: ObservationAsked, seconds: number): void {
  form.set({
    [`observations.${asked.id}`]: Math.min(seconds, asked.high ?? Infinity),
    [`timers.${asked.id}`]: undefined,
  });
}
