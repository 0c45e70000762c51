import { useEffect, useState } from "preact/hooks";
import type { ObservationAsked } from "../../domain/records";
import { mudShade, Refused, type MudShade } from "../../domain/soundness";
import { photoPoint, type PhotoPoint } from "../../domain/units";
import { PatchPick } from "../../parts/PatchPick";
import { meanColour, patchRadius, type Pixels } from "../../parts/PatchPick/patch";
import { usePictureSize } from "../../parts/PhotoTrace/usePicture";
import { mudShade as say } from "../../words/photo";
import { shrinkPhoto } from "../photo";
import { usePhotoKeeping } from "../photoKeeping";
import type { DraftForm } from "../useDraftForm";
import { usePhotoUrl } from "../usePhotoUrl";
import { cameraOf } from "./camera";
import styles from "./camera.module.css";

type Read = { readonly kind: "read"; readonly shade: MudShade } | { readonly kind: "refused"; readonly why: string } | null;

/** The patches' colours against each other; null while one is missing. */
export function readPatches(pixels: Pixels, [mud, card]: readonly PhotoPoint[]): Read {
  if (mud === undefined || card === undefined) return null;
  const r = patchRadius(pixels);
  const [mudColour, cardColour] = [meanColour(pixels, mud, r), meanColour(pixels, card, r)];
  if (mudColour === null || cardColour === null) return null;
  try {
    return { kind: "read", shade: mudShade(mudColour, cardColour) };
  } catch (error) {
    if (error instanceof Refused) return { kind: "refused", why: error.message };
    throw error;
  }
}

/** The photo's pixels, once it is open. A photo kept on this phone may be read; nothing is fetched for it. */
function usePixels(url: string | null): Pixels | null {
  const [known, setKnown] = useState<{ url: string; pixels: Pixels } | null>(null);
  useEffect(() => {
    if (url === null) return;
    let current = true;
    const picture = new Image();
    picture.onload = () => {
      const canvas = document.createElement("canvas");
      [canvas.width, canvas.height] = [picture.naturalWidth, picture.naturalHeight];
      const pen = canvas.getContext("2d");
      if (pen === null || !current) return;
      pen.drawImage(picture, 0, 0);
      setKnown({ url, pixels: pen.getImageData(0, 0, canvas.width, canvas.height) });
    };
    picture.src = url;
    return () => { current = false; };
  }, [url]);
  return known !== null && known.url === url ? known.pixels : null;
}

/** Suggests a shade of mud from a photo of it beside a white card. It never sets the tester's own. */
export function MudCamera({ asked, own, form }: { asked: ObservationAsked; own: string | number | null; form: DraftForm }) {
  const camera = cameraOf(form.values);
  const keepPhoto = usePhotoKeeping();
  const url = usePhotoUrl(camera.sha256, "full");
  const picture = usePictureSize(url);
  const pixels = usePixels(url);
  const [trouble, setTrouble] = useState<string | null>(null);
  const read = pixels === null ? null : readPatches(pixels, camera.patches);
  const wordsOf = (value: string | number): string => asked.choices.find((choice) => choice.value === value)?.words ?? String(value);

  const take = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    try {
      const sha256 = await keepPhoto(await shrinkPhoto(file));
      form.set({ "camera.sha256": sha256, "camera.patches": undefined, "camera.lightness": undefined, "camera.shade": undefined });
      setTrouble(null);
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    }
  };
  const set = (patches: readonly PhotoPoint[]): void => {
    const next = pixels === null ? null : readPatches(pixels, patches);
    const shade = next?.kind === "read" ? next.shade : null;
    form.set({
      "camera.patches": patches.map(([x, y]) => photoPoint(x, y)),
      "camera.lightness": shade?.lightness,
      "camera.shade": shade?.shade,
    });
  };
  const drop = (): void =>
    form.set({ "camera.sha256": undefined, "camera.patches": undefined, "camera.lightness": undefined, "camera.shade": undefined });

  return (
    <details open={camera.sha256 !== null}>
      <summary class={styles.summary}>{say.open}</summary>
      <div class="stack">
        <p class="soft">{say.lead}</p>
        {url !== null && picture !== null && <PatchPick url={url} picture={picture} patches={camera.patches} onPatches={set} />}
        {read?.kind === "refused" && <p class="sheet needs-you" role="status">{say.refused(read.why)}</p>}
        {read?.kind === "read" && (
          <div class="sheet" role="status">
            <p><strong>{say.read(read.shade.lightness.toFixed(0), wordsOf(read.shade.shade))}</strong></p>
            <p>{say.yours(own === null ? null : wordsOf(own))}</p>
            <p class="note">{say.keeps}</p>
          </div>
        )}
        <div class="row">
          <label class={`button ${styles.take}`}>
            {camera.sha256 === null ? say.take : say.again}
            <input class="visually-hidden" type="file" accept="image/*" onChange={(event) => void take(event.currentTarget.files?.[0])} />
          </label>
          {camera.sha256 !== null && <button type="button" class="button button-plain" onClick={drop}>{say.drop}</button>}
        </div>
        {trouble !== null && <p class="sheet needs-you" role="alert">{say.failed(trouble)}</p>}
      </div>
    </details>
  );
}
