import { useState } from "preact/hooks";
import type { PhotoUse, Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { drawnOf } from "../../parts/StoneFace";
import { FaceInput } from "../../parts/StoneFace/Input";
import { savePhoto } from "../../sync/commands";
import { inspect as say } from "../../words/inspect";
import { photoTrace as sayPhoto } from "../../words/photo";
import { shrinkPhoto } from "../photo";
import type { DraftForm } from "../useDraftForm";
import { usePhotoUrl } from "../usePhotoUrl";
import { changeFinding, type InspectionDraft } from "./draft";
import { OnPhoto } from "./OnPhoto";
import styles from "./style.module.css";

/** The face to tap on, over a photo if there is one. */
export function Traced(props: {
  stone: Stone;
  draft: InspectionDraft;
  form: DraftForm;
  needsHand: ReadonlySet<string>;
  tracing: string | null;
  onPick: (id: string) => void;
}) {
  const { stone, draft, form } = props;
  const photos = (form.values["photos"] as PhotoUse[] | undefined) ?? [];
  const photo = [...photos, ...stone.photos].find((p) => p.view === draft.face) ?? null;
  const url = usePhotoUrl(photo?.sha256 ?? null, "full");
  const [trouble, setTrouble] = useState<string | null>(null);

  const take = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    try {
      const sha256 = await savePhoto(await shrinkPhoto(file));
      form.set({ photos: [...photos.filter((p) => p.view !== draft.face), { sha256, view: draft.face, caption: "" }] });
      setTrouble(null);
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    }
  };

  // Only a photo taken for this look shows the face as it is now; findings are traced on it unless the outline is chosen.
  const taken = photos.find((p) => p.view === draft.face) ?? null;
  const onPhoto = taken !== null && form.values["trace_on"] !== "outline";

  return (
    <div class="stack">
      {taken !== null && props.tracing === null && (
        <Choice
          name={sayPhoto.where}
          lay="strip"
          options={[{ value: "photo" as const, words: sayPhoto.onPhoto }, { value: "outline" as const, words: sayPhoto.onOutline }]}
          value={onPhoto ? "photo" : "outline"}
          onChoose={(trace_on) => form.set({ trace_on })}
        />
      )}
      {onPhoto ? (
        <OnPhoto
          stone={stone}
          draft={draft}
          form={form}
          sha256={taken.sha256}
          url={url}
          needsHand={props.needsHand}
          tracing={props.tracing}
          onPick={props.onPick}
        />
      ) : (
        <FaceInput
          stone={drawnOf(stone)}
          face={draft.face}
          findings={draft.findings}
          needsHand={props.needsHand}
          tracing={props.tracing}
          photoUrl={taken === null ? url : null}
          onPoints={(id, points) => form.set({ findings: changeFinding(draft.findings, id, { points }) })}
          onPick={props.onPick}
        />
      )}
      {props.tracing === null && (
        <label class={`button ${styles.photo}`}>
          {photo ? say.photoAgain : say.photo}
          <input class="visually-hidden" type="file" accept="image/*" onChange={(event) => void take(event.currentTarget.files?.[0])} />
        </label>
      )}
      {props.tracing === null && !photo && <p class="note">{say.photoHelp}</p>}
      {trouble !== null && <p class="sheet needs-you">{say.photoFailed} {trouble}</p>}
    </div>
  );
}
