import { absorption } from "../../domain/soundness/physical";
import { gram } from "../../domain/units";
import { Choice } from "../../parts/Choice";
import { YesNo } from "../../parts/Choice/YesNo";
import { NumberField } from "../../parts/Fields";
import { Stopwatch } from "../../parts/Timing";
import { Caution } from "../../parts/VerdictCard";
import { inspect as say } from "../../words/inspect";
import { dropStates, tapTones } from "../../words/trade";
import type { DraftForm } from "../useDraftForm";
import type { InspectionDraft } from "./draft";
import styles from "./style.module.css";

/** What the two masses say, or how to weigh as long as one is missing. */
function absorbed({ dry_mass_g: dry, wet_mass_g: wet }: InspectionDraft): string {
  if (typeof dry !== "number" || typeof wet !== "number" || dry <= 0) return say.massHelp;
  return wet < dry ? say.massesSwapped : say.absorbed(absorption(gram(dry), gram(wet)).toFixed(2));
}

/** How the stone takes water: a timed drop, what the drop does, dry and wet mass. */
export function Water({ draft, form }: { draft: InspectionDraft; form: DraftForm }) {
  return (
    <section class="stack">
      <h2>{say.water}</h2>
      <h3>{say.drop}</h3>
      <Stopwatch
        startedAt={draft.water_started}
        seconds={draft.water_uptake_s}
        startWords={say.dropStart}
        stopWords={say.dropStop}
        onStart={(at) => form.set({ water_started: at })}
        onStop={(seconds) => form.set({ water_uptake_s: seconds, water_started: undefined })}
        onAgain={() => form.set({ water_uptake_s: undefined })}
      />
      {draft.water_started === null && (
        <NumberField name={say.orType} unit="s" low={0} high={86_400} value={draft.water_uptake_s} onSet={(s) => form.set({ water_uptake_s: s ?? undefined })} />
      )}
      <Choice
        name={say.dropState}
        options={Object.entries(dropStates).map(([value, words]) => ({ value: value as keyof typeof dropStates, words }))}
        value={draft.drop_state}
        onChoose={(drop_state) => form.set({ drop_state })}
        onClear={() => form.set({ drop_state: undefined })}
      />
      <div class={styles.pairs}>
        <NumberField name={say.dry} unit="g" low={0.1} high={100_000} value={draft.dry_mass_g} onSet={(g) => form.set({ dry_mass_g: g ?? undefined })} />
        <NumberField name={say.wet} unit="g" low={0.1} high={100_000} value={draft.wet_mass_g} onSet={(g) => form.set({ wet_mass_g: g ?? undefined })} />
      </div>
      <p class="note" aria-live="polite">{absorbed(draft)}</p>
    </section>
  );
}

/** Tap tone, and whether sides and bottom are sealed. */
export function Sound({ draft, form }: { draft: InspectionDraft; form: DraftForm }) {
  return (
    <section class="stack">
      <h2>{say.sound}</h2>
      <Caution text={say.tapCaution} />
      <Choice
        name={say.tap}
        lay="strip"
        options={Object.entries(tapTones).map(([value, words]) => ({ value: value as keyof typeof tapTones, words }))}
        value={draft.tap_tone}
        onChoose={(tap_tone) => form.set({ tap_tone })}
        onClear={() => form.set({ tap_tone: undefined })}
      />
      <YesNo name={say.sealed} value={draft.sides_sealed} onSet={(sealed) => form.set({ sides_sealed: sealed ?? undefined })} />
    </section>
  );
}
