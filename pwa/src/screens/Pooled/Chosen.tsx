import type { PooledScale } from "../../domain/pooled";
import type { Purpose, Stone } from "../../domain/records";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { ruler as sayRuler } from "../../words/parts";
import { pooled as say } from "../../words/pooled";
import { review as sayReview } from "../../words/review";
import { isReady, isTried, ordered, type PooledStone } from "./flags";
import { Counts, Face, Flags } from "./Marks";
import styles from "./style.module.css";

/** The list beside the map is a summary; the table below has them all. */
const lackingShown = 6;

/** How many stones are ready, and which are not, with what each lacks. */
export function Readiness(props: { stones: readonly PooledStone[]; codeOf: (id: string) => string; onChoose: (id: string) => void }) {
  const tried = props.stones.filter(isTried);
  const lacking = ordered(tried.filter((stone) => !isReady(stone)), "flags", props.codeOf);
  return (
    <section class="stack">
      <h2>{say.readiness(tried.length - lacking.length, tried.length)}</h2>
      <ul class={styles.lacking}>
        {lacking.slice(0, lackingShown).map((stone) => (
          <li key={stone.stone_id}>
            <button type="button" class={styles.lackingRow} onClick={() => props.onChoose(stone.stone_id)}>
              <strong class="figures">{props.codeOf(stone.stone_id)}</strong>
              <Flags flags={stone.flags} />
            </button>
          </li>
        ))}
      </ul>
      {lacking.length > lackingShown && <p class="note">{say.lackingMore(lacking.length - lackingShown)}</p>}
    </section>
  );
}

/** One stone of the map, with all its grades. */
export function Chosen(props: { stone: PooledStone; record: Stone | undefined; scales: readonly PooledScale[]; code: string; purpose: Purpose }) {
  return (
    <article class="sheet">
      <header class={styles.chosenHead}>
        <Face stone={props.record} />
        <h2>{props.code}</h2>
      </header>
      {props.scales.map((scale) => {
        const grade = props.stone.grades.get(scale.scale);
        return grade && (
          <div key={scale.scale} class={styles.chosenScale}>
            <span>{scale.name}</span>
            <strong class="figures">{gradeText(grade.grade, 0.1)}</strong>
            <GradeRuler
              scale={scale}
              size="page"
              grade={grade.grade}
              low90={grade.low90}
              high90={grade.high90}
              atEnd={grade.at_end}
              marks={grade.by_steel.map((s) => ({ at: s.grade, kind: "steel" as const }))}
              label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
            />
          </div>
        );
      })}
      <p><Counts stone={props.stone} /></p>
      <p class="stack"><Flags flags={props.stone.flags} /></p>
      <a class="button button-main" href={`/stones/${props.stone.stone_id}/review?purpose=${props.purpose}`}>{sayReview.link}</a>
      <a class="button" href={`/stones/${props.stone.stone_id}`}>{say.open(props.code)}</a>
    </article>
  );
}
