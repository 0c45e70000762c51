import { useState } from "preact/hooks";
import type { PhotoUse, PhotoView } from "../domain/records";
import { work as say } from "../words/work";
import { photoViews } from "../words/trade";
import { shrinkPhoto } from "./photo";
import { usePhotoKeeping } from "./photoKeeping";
import { usePhotoUrl } from "./usePhotoUrl";
import styles from "./photopick.module.css";

/** Take or choose one photo of a view; it is shrunk, kept on this phone and named by its hash. */
export function PhotoPick(props: {
  view: PhotoView;
  name: string;
  photos: readonly PhotoUse[];
  onPhotos: (photos: readonly PhotoUse[]) => void;
}) {
  const { view, photos } = props;
  const keepPhoto = usePhotoKeeping();
  const taken = photos.find((photo) => photo.view === view) ?? null;
  const url = usePhotoUrl(taken?.sha256 ?? null, "thumb");
  const [trouble, setTrouble] = useState<string | null>(null);
  const others = photos.filter((photo) => photo.view !== view);

  const take = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    try {
      const sha256 = await keepPhoto(await shrinkPhoto(file));
      props.onPhotos([...others, { sha256, view, caption: "" }]);
      setTrouble(null);
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : String(error));
    }
  };

  return (
    <div class={styles.pick}>
      <span class={styles.name}>{props.name}</span>
      {taken !== null && url !== null && <img class={styles.thumb} src={url} alt={say.photo(photoViews[view])} />}
      <label class={`button ${styles.take}`}>
        {taken === null ? say.photo(photoViews[view]) : say.otherPhoto}
        <input class="visually-hidden" type="file" accept="image/*" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      </label>
      {taken !== null && (
        <button type="button" class="button button-plain" onClick={() => props.onPhotos(others)}>
          {say.removePhoto}<span class="visually-hidden"> {photoViews[view]}</span>
        </button>
      )}
      {trouble !== null && <p class="sheet needs-you" role="alert">{say.photoFailed(trouble)}</p>}
    </div>
  );
}
