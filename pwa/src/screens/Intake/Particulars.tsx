import type { Checked, IntakeRow } from "../../domain/intake/rows";
import type { PhotoUse, PhotoView } from "../../domain/records";
import { fieldNames, intake as say, remarkWords, troubleWords } from "../../words/intake";
import { PhotoPick } from "../PhotoPick";
import styles from "./style.module.css";

const views = ["front", "back", "side"] as const;
const viewNames = { front: "Front", back: "Back", side: "Side" } as const;

/** The density of a row, or why there is none, and what looks like a slip. */
export function Density({ row, checked }: { row: IntakeRow; checked: Checked }) {
  return (
    <div class="stack" role="status">
      <p class="figures">
        {checked.density !== null
          ? <><strong>{say.density}</strong> {say.densityIs(checked.density)}</>
          : <span class="soft">{row.values.form === "irregular" ? say.noDensityIrregular : say.noDensity}</span>}
      </p>
      {checked.remarks.map((remark) => <p key={remark.kind} class={styles.remark}>{remarkWords(remark)}</p>)}
    </div>
  );
}

/** Photos of front, back and side. */
export function Photos({ row, onPhoto }: { row: IntakeRow; onPhoto: (view: PhotoView, photo: PhotoUse | null) => void }) {
  return (
    <div class={styles.photos}>
      {views.map((view) => (
        <PhotoPick
          key={view}
          view={view}
          name={viewNames[view]}
          photos={row.photos}
          onPhotos={(photos) => onPhoto(view, photos.find((one) => one.view === view) ?? null)}
        />
      ))}
    </div>
  );
}

/** What is wrong with one row, cell by cell. */
export function TroubleList({ row, checked }: { row: IntakeRow; checked: Checked }) {
  if (checked.troubles.length === 0) return null;
  return (
    <ul class={styles.troubles}>
      {checked.troubles.map((trouble, i) => (
        <li key={i}>
          {trouble.field !== null && <strong>{fieldNames[trouble.field]}</strong>} {troubleWords(trouble, trouble.field === null ? "" : row.values[trouble.field])}
        </li>
      ))}
    </ul>
  );
}
