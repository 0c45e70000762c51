import type { Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { NumberField } from "../../parts/Fields";
import { mmPerPx } from "../../parts/StoneFace";
import { inspect as say } from "../../words/inspect";
import type { DraftForm } from "../useDraftForm";
import { stations, type InspectionDraft } from "./draft";
import styles from "./style.module.css";

/** Flatness readings at set places; a place left empty is a place not read. */
export function Flat({ stone, draft, form }: { stone: Stone; draft: InspectionDraft; form: DraftForm }) {
  const places = stations(draft.flatness_method, stone);
  const u = mmPerPx(stone);
  return (
    <section class="stack">
      <h2>{say.flat}</h2>
      <Choice
        name={say.flatHow}
        lay="strip"
        options={[{ value: "straightedge" as const, words: say.straightedge }, { value: "grid" as const, words: say.grid }]}
        value={draft.flatness_method}
        onChoose={(flatness_method) => form.set({ flatness_method })}
      />
      <p class="soft">{draft.flatness_method === "grid" ? say.gridHelp : say.straightHelp}</p>
      <svg class={styles.places} viewBox={`0 0 ${stone.length_mm} ${stone.width_mm}`} aria-hidden="true">
        <rect class={styles.placesFace} width={stone.length_mm} height={stone.width_mm} />
        {places.map((place, i) => (
          <g key={place.id}>
            <circle
              class={draft.heights[place.id] === undefined ? styles.place : `${styles.place} ${styles.placeRead}`}
              cx={place.x_mm}
              cy={place.y_mm}
              r={10 * u}
            />
            <text
              class={draft.heights[place.id] === undefined ? styles.placeText : `${styles.placeText} ${styles.placeTextRead}`}
              x={place.x_mm}
              y={place.y_mm}
              font-size={12 * u}
            >
              {i + 1}
            </text>
          </g>
        ))}
      </svg>
      <div class={styles.heights}>
        {places.map((place, i) => (
          <NumberField
            key={place.id}
            name={say.station(i + 1)}
            compact
            low={draft.flatness_method === "grid" ? -5000 : 0}
            high={5000}
            value={draft.heights[place.id] ?? null}
            onSet={(value) => form.set({ [`heights.${place.id}`]: value ?? undefined })}
          />
        ))}
      </div>
    </section>
  );
}
