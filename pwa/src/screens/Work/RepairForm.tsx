import { useState } from "preact/hooks";
import type { OwnFields, PhotoUse } from "../../domain/records";
import type { WorkItem } from "../../domain/soundness/work";
import { TextField } from "../../parts/Fields";
import { saveRecord } from "../../sync/commands";
import { work as say } from "../../words/work";
import { PhotoPick } from "../PhotoPick";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { itemKey } from "./list";
import { MomentField } from "../MomentField";
import styles from "./style.module.css";

type Outcome = "done" | "not_needed";

/** The repair that a form about one item has become. */
export function toRepair(item: WorkItem, outcome: Outcome, values: Readonly<Record<string, unknown>>, now: Date): OwnFields<"repair"> | null {
  if (item.rule_id === null) return null;
  const text = (name: string): string => {
    const value = values[name];
    return typeof value === "string" ? value.trim() : "";
  };
  return {
    stone_id: item.stone_id,
    inspection_id: item.inspection_id,
    finding_id: item.finding_id,
    rule_id: item.rule_id,
    verdict: item.verdict,
    outcome,
    done_at: outcome === "done" && text("done_at") !== "" ? text("done_at") : now.toISOString(),
    with_what: outcome === "done" ? text("with_what") : "",
    photos: outcome === "done" ? ((values["photos"] as readonly PhotoUse[] | undefined) ?? []) : [],
    notes: outcome === "done" ? text("notes") : text("reason"),
  };
}

/** What was done about one item, or why nothing needs doing. Kept as a draft while it is filled in. */
export function RepairForm({ item, outcome, onClose }: { item: WorkItem; outcome: Outcome; onClose: () => void }) {
  const form = useDraftForm({ key: itemKey(item), kind: "repair", about_id: item.stone_id });
  const [saving, setSaving] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  if (form === undefined) return null;

  const save = async (): Promise<void> => {
    setSaving(true);
    setFailed(null);
    try {
      // A form left untouched has no draft yet; that it was done is worth keeping by itself.
      form.set({ outcome });
      const kept = await form.settled();
      const repair = toRepair(item, outcome, form.values, new Date());
      if (kept === null || repair === null) throw new Error(form.trouble ?? "");
      await saveRecord("repair", kept.record_id, repair, null, { draft: kept.key });
      onClose();
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
      setSaving(false);
    }
  };
  const drop = async (): Promise<void> => {
    await form.drop();
    onClose();
  };

  const reason = typeof form.values["reason"] === "string" ? form.values["reason"] : "";
  const ready = outcome === "done" || reason.trim().length > 3;
  return (
    <div class={styles.form}>
      {outcome === "done" ? <DoneFields form={form} /> : (
        <>
          <p>{say.notNeededLead}</p>
          <TextField name={say.reason} rows={2} value={reason} onSet={(text) => form.set({ reason: text === "" ? undefined : text })} />
          {!ready && <p class="note">{say.reasonMissing}</p>}
        </>
      )}
      {failed !== null && <p class="sheet needs-you" role="alert">{say.failed(failed)}</p>}
      {form.trouble !== null && <p class="sheet needs-you" role="alert">{say.notKept(form.trouble)}</p>}
      <div class={styles.buttons}>
        <button type="button" class="button" onClick={onClose}>{say.cancel}</button>
        <button type="button" class="button button-main" disabled={saving || !ready} onClick={() => void save()}>
          {saving ? say.saving : outcome === "done" ? say.save : say.saveNotNeeded}
        </button>
      </div>
      {form.draft !== null && <button type="button" class="button button-plain" onClick={() => void drop()}>{say.drop}</button>}
    </div>
  );
}

function DoneFields({ form }: { form: DraftForm }) {
  const text = (name: string): string => {
    const value = form.values[name];
    return typeof value === "string" ? value : "";
  };
  const photos = (form.values["photos"] as readonly PhotoUse[] | undefined) ?? [];
  const setText = (name: string) => (value: string): void => form.set({ [name]: value === "" ? undefined : value });
  return (
    <>
      <MomentField name={say.when} value={text("done_at") || null} onSet={(done_at) => form.set({ done_at })} />
      <TextField name={say.withWhat} help={say.withWhatHelp} rows={1} value={text("with_what")} onSet={setText("with_what")} />
      <div class={styles.photos}>
        {(["before", "after"] as const).map((view) => (
          <PhotoPick key={view} view={view} name={say[view]} photos={photos} onPhotos={(next) => form.set({ photos: next })} />
        ))}
      </div>
      <TextField name={say.notes} rows={2} value={text("notes")} onSet={setText("notes")} />
    </>
  );
}
