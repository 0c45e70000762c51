import { useState } from "preact/hooks";
import type { AgainstPanel } from "../../domain/mine";
import type { PooledScale } from "../../domain/pooled";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { mine as say } from "../../words/mine";
import styles from "./style.module.css";

const shownFirst = 8;

/** Each stone that was graded: the panel's grade and band on the ruler, one's own grades under it. */
export function Against(props: { scale: PooledScale; rows: readonly AgainstPanel[]; codes: ReadonlyMap<string, string> }) {
  const { scale, rows, codes } = props;
  const [all, setAll] = useState(false);
  const shown = all ? rows : rows.slice(0, shownFirst);
  return (
    <section class="stack">
      <h2>{say.stones(rows.length)}</h2>
      {rows.length === 0 ? <p class="soft">{say.notPooled}</p> : <p class="note">{say.stonesLead}</p>}
      <ul class={styles.rows}>
        {shown.map((row) => {
          const code = codes.get(row.stone_id) ?? say.noStone;
          const [own, panel] = [row.own.map((grade) => gradeText(grade, scale.step)).join(", "), gradeText(row.panel.grade, 0.1)];
          return (
            <li key={row.stone_id} class={styles.row}>
              <a class={styles.code} href={`/stones/${row.stone_id}`}>{code}</a>
              <GradeRuler
                scale={scale}
                size="row"
                grade={row.panel.grade}
                low90={row.panel.low90}
                high90={row.panel.high90}
                atEnd={row.panel.at_end}
                marks={row.own.map((at) => ({ at, kind: "own" as const }))}
                label={say.row(code, own, panel)}
              />
              <span class={styles.figures}>
                <span>{say.you} <strong>{own}</strong></span> <span>{say.panel} <strong>{panel}</strong></span>
              </span>
              <span class={styles.gap}>{say.gap(row.gap)}{row.outside ? "" : `, ${say.inside}`}</span>
            </li>
          );
        })}
      </ul>
      {shown.length < rows.length && <button type="button" class="button" onClick={() => setAll(true)}>{say.showAll(rows.length)}</button>}
    </section>
  );
}
