import { useState } from "preact/hooks";
import type { Face, GritBand, OwnFields, Stone } from "../../domain/records";
import { grain, Refused } from "../../domain/soundness";
import { NumberField, SelectField, TextField } from "../../parts/Fields";
import { saveRecord } from "../../sync/commands";
import { lap as say } from "../../words/lap";
import { grit as sayGrit } from "../../words/parts";
import { MomentField } from "../MomentField";
import type { DraftForm } from "../useDraftForm";
import styles from "./style.module.css";

type Values = Readonly<Record<string, unknown>>;

const numberAt = (values: Values, name: string): number | null => {
  const value = values[name];
  return typeof value === "number" ? value : null;
};
const textAt = (values: Values, name: string): string => {
  const value = values[name];
  return typeof value === "string" ? value : "";
};

export const usualForceN = 20;
export const usualStrokeMm = 150;

/** A value the form starts with; null once it was emptied by hand. */
export const mannerOf = (values: Values) => ({
  force_n: values["force_n"] === undefined ? usualForceN : numberAt(values, "force_n"),
  stroke_mm: values["stroke_mm"] === undefined ? usualStrokeMm : numberAt(values, "stroke_mm"),
});

/** The record the form becomes, or why it cannot yet. */
export function toLapping(
  values: Values, stone: Pick<Stone, "id">, face: Face, agreed: boolean, now: Date,
): { readonly body: OwnFields<"lapping"> } | { readonly why: string } {
  const grit_number = numberAt(values, "grit_number");
  if (grit_number === null) return { why: say.needsGrit };
  const grit_system = (textAt(values, "grit_system") || "fepa_p") as GritBand["system"];
  try {
    grain(grit_system, grit_number);
  } catch (error) {
    if (error instanceof Refused) return { why: say.gritRefused(error.message) };
    throw error;
  }
  return {
    body: {
      stone_id: stone.id,
      face,
      lapped_at: textAt(values, "lapped_at") || now.toISOString(),
      grit_system,
      grit_number,
      strokes: numberAt(values, "strokes"),
      ...mannerOf(values),
      removed_um: numberAt(values, "removed_um"),
      thickness_after_mm: numberAt(values, "thickness_after_mm"),
      marked_face_agreed: agreed,
      notes: textAt(values, "notes").trim(),
    },
  };
}

/** What was done with one grit, kept as a draft until it is saved. */
export function Log({ stone, face, agreed, form }: { stone: Stone; face: Face; agreed: boolean; form: DraftForm }) {
  const [saved, setSaved] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  const [saving, setSaving] = useState(false);
  const { values } = form;
  const lapping = toLapping(values, stone, face, agreed, new Date());
  const manner = mannerOf(values);
  const set = (name: string) => (value: unknown): void => {
    setSaved(false);
    form.set({ [name]: value ?? undefined });
  };

  const save = async (): Promise<void> => {
    if (!("body" in lapping)) return;
    setSaving(true);
    setFailed(null);
    try {
      const kept = await form.settled();
      if (kept === null) throw new Error(form.trouble ?? "");
      await saveRecord("lapping", kept.record_id, lapping.body, null, { draft: kept.key });
      form.clear();
      setSaved(true);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
    setSaving(false);
  };

  return (
    <section class="stack">
      <h2>{say.log}</h2>
      <p class="soft">{say.logLead}</p>
      <div class={styles.pairs}>
        <div class={styles.when}><MomentField name={say.when} value={textAt(values, "lapped_at") || null} onSet={set("lapped_at")} /></div>
        <SelectField
          name={say.gritSystem}
          value={(textAt(values, "grit_system") || "fepa_p") as GritBand["system"]}
          options={sayGrit.systems}
          onSet={set("grit_system")}
        />
        <NumberField name={say.gritNumber} low={1} high={100_000} value={numberAt(values, "grit_number")} onSet={set("grit_number")} />
        <NumberField name={say.nStrokes} low={1} high={1_000_000} whole value={numberAt(values, "strokes")} onSet={set("strokes")} />
        <NumberField name={say.force} unit="N" low={0.1} high={2000} value={manner.force_n} onSet={(n) => form.set({ force_n: n })} />
        <NumberField name={say.stroke} unit="mm" low={1} high={2000} value={manner.stroke_mm} onSet={(n) => form.set({ stroke_mm: n })} />
        <NumberField name={say.removed} unit="µm" low={0} high={50_000} value={numberAt(values, "removed_um")} onSet={set("removed_um")} />
        <NumberField name={say.after} unit="mm" low={0.5} high={500} value={numberAt(values, "thickness_after_mm")} onSet={set("thickness_after_mm")} />
      </div>
      <p class="note">{say.removedHelp}</p>
      <TextField name={say.notes} rows={2} value={textAt(values, "notes")} onSet={(notes) => form.set({ notes: notes === "" ? undefined : notes })} />
      {form.draft !== null && "why" in lapping && <p class="note">{lapping.why}</p>}
      <div role="status">
        {saved && <p class="sheet">{say.saved}</p>}
        {failed !== null && <p class="sheet needs-you">{say.failed(failed)}</p>}
        {form.trouble !== null && <p class="sheet needs-you">{say.notKept(form.trouble)}</p>}
      </div>
      <div class="row">
        <button type="button" class="button button-main" disabled={saving || "why" in lapping} onClick={() => void save()}>
          {saving ? say.saving : say.save}
        </button>
        {form.draft !== null && <button type="button" class="button button-plain" onClick={() => void form.drop()}>{say.drop}</button>}
      </div>
    </section>
  );
}
