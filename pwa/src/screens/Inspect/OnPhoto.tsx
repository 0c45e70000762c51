import type { Finding, Stone } from "../../domain/records";
import { photoPoint, type PhotoPoint } from "../../domain/units";
import { PhotoTrace } from "../../parts/PhotoTrace";
import { usePictureSize } from "../../parts/PhotoTrace/usePicture";
import { photoTrace as say } from "../../words/photo";
import type { DraftForm } from "../useDraftForm";
import { changeFinding, type InspectionDraft } from "./draft";

/** The corners of a photo as the draft keeps them, by the photo's hash: another photo has other corners. */
export function cornersOf(values: Readonly<Record<string, unknown>>, sha256: string): PhotoPoint[] {
  const kept = values[`corners.${sha256}`];
  if (!Array.isArray(kept)) return [];
  return kept.flatMap((corner: unknown) =>
    Array.isArray(corner) && typeof corner[0] === "number" && typeof corner[1] === "number" ? [photoPoint(corner[0], corner[1])] : []);
}

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
      onCorners={(corners) => form.set({ [`corners.${sha256}`]: corners.length === 0 ? undefined : corners })}
      findings={draft.findings}
      needsHand={props.needsHand}
      tracing={props.tracing}
      onPoints={(id, points: Finding["points"]) => form.set({ findings: changeFinding(draft.findings, id, { points }) })}
      onPick={props.onPick}
    />
  );
}
