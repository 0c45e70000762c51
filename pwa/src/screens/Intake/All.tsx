import type { Checked, IntakeRow } from "../../domain/intake/rows";
import { intake as say } from "../../words/intake";
import { StateSign } from "./Grid";
import styles from "./style.module.css";
import { useWindow } from "./useWindow";

const rowRem = 3;

/** Every row by its code, to go to one: beside the card on a phone. */
export function All(props: { rows: readonly IntakeRow[]; checked: readonly Checked[]; active: number; onActive: (row: number) => void }) {
  const seen = useWindow(props.rows.length, rowRem);
  return (
    <div ref={seen.box} class={styles.all} onScroll={seen.look}>
      <ul style={{ blockSize: `${props.rows.length * rowRem}rem` }}>
        {props.rows.slice(seen.from, seen.to).map((row, i) => {
          const number = seen.from + i;
          const bad = (props.checked[number]?.troubles.length ?? 0) > 0;
          return (
            <li key={row.id} style={{ insetBlockStart: `${number * rowRem}rem` }}>
              <button type="button" aria-current={number === props.active} onClick={() => props.onActive(number)}>
                <span class={styles.allCode}>{row.values.code === "" ? say.nameOf(number + 1, "", null) : row.values.code}</span>
                <span class="note">{[row.values.length_mm, row.values.width_mm, row.values.thickness_mm].filter((one) => one !== "").join(" × ")}</span>
                {(bad || row.left_out) && <StateSign state={row.left_out ? "out" : "bad"} />}
              </button>
            </li>
          );
        })}
      </ul>
    </div>
  );
}
