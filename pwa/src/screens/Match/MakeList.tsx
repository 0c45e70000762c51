import { useLocation } from "preact-iso";
import { useId, useState } from "preact/hooks";
import type { MatchWish } from "../../domain/records";
import type { Values } from "../../domain/match";
import { TextField } from "../../parts/Fields";
import { newId, saveRecord } from "../../sync/commands";
import { match as say } from "../../words/match";
import type { DraftForm } from "../useDraftForm";

const textAt = (values: Values, name: string): string => {
  const value = values[name];
  return typeof value === "string" ? value : "";
};

/** The chosen stones become a shortlist: a record that goes out like every other, and then has its link. */
export function MakeList(props: { readonly wish: MatchWish; readonly chosen: readonly string[]; readonly values: Values; readonly form: DraftForm }) {
  const { wish, chosen, values, form } = props;
  const id = useId();
  const { route } = useLocation();
  const [wrong, setWrong] = useState<string | null>(null);
  const [saving, setSaving] = useState(false);

  const make = async (event: Event): Promise<void> => {
    event.preventDefault();
    const name = textAt(values, "list_name").trim();
    if (name === "") {
      setWrong(say.needsName);
      return;
    }
    setSaving(true);
    try {
      const made = newId();
      await saveRecord("shortlist", made, { name, wish, stone_ids: chosen, notes: textAt(values, "list_notes").trim() }, null);
      form.set({ chosen: undefined, list_name: undefined, list_notes: undefined });
      route(`/match/${made}`);
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
      setSaving(false);
    }
  };

  if (chosen.length === 0) return <p class="note">{say.listNone}</p>;
  return (
    <form class="sheet" onSubmit={make} noValidate>
      <h2>{say.listTitle}</h2>
      <p>{say.listLead(chosen.length)}</p>
      <div class="field">
        <label for={id}>{say.listName}</label>
        <input
          id={id}
          value={textAt(values, "list_name")}
          maxLength={120}
          autocomplete="off"
          aria-invalid={wrong !== null}
          aria-describedby={`${id}-help`}
          onInput={(event) => { setWrong(null); form.set({ list_name: event.currentTarget.value }); }}
        />
        {wrong !== null && <p class="wrong" role="alert">{wrong}</p>}
        <p class="note" id={`${id}-help`}>{say.listNameHelp}</p>
      </div>
      <TextField name={say.listNotes} rows={2} value={textAt(values, "list_notes")} onSet={(notes) => form.set({ list_notes: notes === "" ? undefined : notes })} />
      <p class="note">{say.needsSignal}</p>
      <p><button type="submit" class="button button-main" disabled={saving}>{saving ? say.saving : say.make}</button></p>
    </form>
  );
}
