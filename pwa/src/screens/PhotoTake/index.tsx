import { useState } from "preact/hooks";
import type { PhotoUse, PhotoView } from "../../domain/records";
import { savePhoto } from "../../sync/commands";
import { photo as say } from "../../words/photo";
import { shrinkPhoto } from "../photo";
import { usePhotoUrl } from "../usePhotoUrl";
import styles from "./style.module.css";

/**
 * Takes one photo of a kind for the record at hand. It is shrunk, kept on the phone and queued at
 * once; the record only names it. A second one of the same kind takes the first one's place in the
 * record; a photo taken off is no longer named, though a copy already queued still goes out.
 */
export function PhotoTake(props: {
  view: PhotoView;
  photos: readonly PhotoUse[];
  words: { readonly take: string; readonly again: string; readonly how: string };
  /** Something else already shows this view, so the button offers to take it again. */
  shownAlready?: boolean;
  showThumb?: boolean;
  onPhotos: (photos: readonly PhotoUse[]) => void;
}) {
  const { view, photos, words } = props;
  const own = photos.find((photo) => photo.view === view) ?? null;
  const others = photos.filter((photo) => photo.view !== view);
  const url = usePhotoUrl(own?.sha256 ?? null, "full");
  const [trouble, setTrouble] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);

  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    setBusy(true);
    try {
      const sha256 = await savePhoto(await shrinkPhoto(file));
      props.onPhotos([...others, { sha256, view, caption: "" }]);
      setTrouble(null);
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    } finally {
      // Emptied, so that the same picture chosen twice is a change both times.
      input.value = "";
      setBusy(false);
    }
  };

  return (
    <div class="stack">
      {props.showThumb === true && own && url && <img class={styles.taken} src={url} alt={words.take} />}
      <div class="row">
        <label class={`button ${styles.take}`} aria-busy={busy}>
          {busy ? say.keeping : own !== null || props.shownAlready === true ? words.again : words.take}
          <input
            class="visually-hidden"
            type="file"
            accept="image/*"
            capture="environment"
            disabled={busy}
            onChange={(event) => void take(event.currentTarget)}
          />
        </label>
        {own && <button type="button" class="button button-plain" onClick={() => props.onPhotos(others)}>{say.takeOff}</button>}
      </div>
      {!own && props.shownAlready !== true && <p class="note">{words.how}</p>}
      {trouble !== null && <p class="sheet needs-you" role="alert">{say.failed} {trouble}</p>}
    </div>
  );
}
