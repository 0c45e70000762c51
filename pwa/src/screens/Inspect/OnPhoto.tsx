import type { Finding, Stone } from "../../domain/records";
import { PhotoTrace } from "../../parts/PhotoTrace";
import { usePictureSize } from "../../parts/PhotoTrace/usePicture";
import { photoTrace as say } from "../../words/photo";
import type { DraftForm } from "../useDraftForm";
import { changeFinding, cornersOf, type InspectionDraft } from "./draft";

/** The photo of this face with its corners, as the ground that findings are traced on. */
export function OnPhoto(props: {
  stone: Stone;
  draft: InspectionDraft;
  form: DraftForm;
  sha256: string;
  url: string | null;
  needsHand: ReadonlySet<string>;
  tracing: string | null;
  onPick: (id: string) => void;
}) {
  const { stone, draft, form, sha256, url } = props;
  const picture = usePictureSize(url);
  if (url === null || picture === null) return <p class="soft">{say.loading}</p>;
  return (
    <PhotoTrace
      url={url}
      picture={picture}
      face={stone}
      corners={cornersOf(form.values, sha256)}
      onCorners={(corners) => form.set({ [`corners.${sha256}`]: corners })}
      findings={draft.findings}
      needsHand={props.needsHand}
      tracing={props.tracing}
      onPoints={(id, points: Finding["points"]) => form.set({ findings: changeFinding(draft.findings, id, { points }) })}
      onPick={props.onPick}
    />
  );
}
