import { useState } from "preact/hooks";
import type { PooledScale } from "../../domain/pooled";
import type { Stone } from "../../domain/records";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { ruler as sayRuler } from "../../words/parts";
import { pooled as say } from "../../words/pooled";
import type { PooledStone } from "./flags";
import { Counts, Face, Flags } from "./Marks";
import { shortName } from "./scaleOrder";
import styles from "./style.module.css";

/** So many rows at a time; a club with thousands of stones asks for more as it reads. */
const rowsAtATime = 60;

/** The map in figures: a row for each stone, as many at a time as one reads. */
export function Table(props: {
  readonly rows: readonly PooledStone[];
  readonly scales: readonly PooledScale[];
  readonly stoneOf: (id: string) => Stone | undefined;
}) {
  const { rows, scales, stoneOf } = props;
  const [shown, setShown] = useState(rowsAtATime);
  return (
    <>
      <div role="table" class={styles.table} aria-label={say.title}>
        <div role="row" class={`${styles.tr} ${styles.th}`}>
          <span role="columnheader">{say.stone}</span>
          {scales.map((scale) => <span key={scale.scale} role="columnheader">{scale.name}</span>)}
          <span role="columnheader">{say.evidence}</span>
        </div>
        {rows.slice(0, shown).map((stone) => (
          <div key={stone.stone_id} role="row" class={styles.tr}>
            <span role="rowheader" class={styles.stoneCell}>
              <a class={styles.code} href={`/stones/${stone.stone_id}`}>
                <Face stone={stoneOf(stone.stone_id)} />
                {stoneOf(stone.stone_id)?.code ?? say.flags.unknown}
              </a>
            </span>
            {scales.map((scale) => <GradeCell key={scale.scale} scale={scale} stone={stone} />)}
            <span role="cell" class={styles.evidence}>
              <Counts stone={stone} />
              <Flags flags={stone.flags} />
            </span>
          </div>
        ))}
      </div>
      {rows.length > shown && (
        <button type="button" class="button" onClick={() => setShown(shown + rowsAtATime)}>
          {say.more(Math.min(rowsAtATime, rows.length - shown))}
        </button>
      )}
    </>
  );
}

function GradeCell({ scale, stone }: { scale: PooledScale; stone: PooledStone }) {
  const grade = stone.grades.get(scale.scale);
  if (!grade || grade.n_trials === 0) return <span role="cell" class={styles.cell}>–</span>;
  return (
    <span role="cell" class={styles.cell}>
      <span class={styles.cellName} aria-hidden="true">{shortName(scale)}</span>
      <span class={styles.cellFigure}>
        {gradeText(grade.grade, 0.1)}
        <span class={styles.cellSpan}>{gradeText(grade.low90, 0.1)}–{gradeText(grade.high90, 0.1)}</span>
      </span>
      <GradeRuler
        scale={scale}
        size="row"
        grade={grade.grade}
        low90={grade.low90}
        high90={grade.high90}
        atEnd={grade.at_end}
        marks={grade.by_steel.map((s) => ({ at: s.grade, kind: "steel" as const }))}
        label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
      />
    </span>
  );
}
