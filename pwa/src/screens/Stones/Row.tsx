import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText, type Scale } from "../../parts/GradeRuler/geometry";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { ruler as sayRuler } from "../../words/parts";
import { stones as say } from "../../words/stones";
import { kinds } from "../../words/trade";
import { shortName } from "../Pooled/scaleOrder";
import type { ShelfRow } from "./shelf";
import { StandingSign } from "./StandingSign";
import styles from "./style.module.css";

export interface RowGrade {
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly at_end: "low" | "high" | null;
  readonly scale: Scale & { readonly scale: string };
}

/** One stone in a list: its face to the list's scale, its code, what it waits for. */
export function Row({ row, grades }: { row: ShelfRow; grades: readonly RowGrade[] | undefined }) {
  const { stone, standing, lot } = row;
  return (
    <a class={`${styles.row} ${grades === undefined ? "" : styles.withGrades}`} href={`/stones/${stone.id}`}>
      <StoneFace stone={drawnOf(stone)} findings={row.findings} needsHand={row.needsHand} size="row" label="" />
      <span class={styles.code}>{stone.code}</span>
      <span class={styles.kind}>{kinds[stone.kind]}{lot ? `, ${lot.name}` : ""}</span>
      {standing && (
        <span class={`${styles.standing} ${standing.chief === "needs_hand" ? styles.hand : ""}`}>
          <StandingSign state={standing.chief} />
          <span class={styles.clip}>
            {standing.chief === "needs_hand" && standing.verdict
              ? say.needs(standing.verdict)
              : standing.chief === "tried" ? say.tried(standing.n_own_trials) : say.states[standing.chief].toLowerCase()}
          </span>
        </span>
      )}
      {grades !== undefined && (
        <span class={styles.grades}>
          {grades.length === 0 && <span class={styles.none}>{say.ungraded}</span>}
          {grades.map((grade) => (
            <span key={grade.scale.scale} class={styles.grade}>
              <span class={styles.scale} aria-hidden="true">{shortName(grade.scale)}</span>
              <span class={styles.figure} aria-hidden="true">{gradeText(grade.grade, 0.1)}</span>
              <GradeRuler
                scale={grade.scale}
                size="row"
                grade={grade.grade}
                low90={grade.low90}
                high90={grade.high90}
                atEnd={grade.at_end}
                label={sayRuler.pooled(shortName(grade.scale), grade.grade, grade.low90, grade.high90)}
              />
            </span>
          ))}
        </span>
      )}
    </a>
  );
}
