import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { ruler as sayRuler } from "../../words/parts";
import { publish as say } from "../../words/publish";
import styles from "./style.module.css";

interface OnScale {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly at_end: "low" | "high" | null;
  readonly by_steel: readonly { readonly grade: number }[];
  /** The protocol's words for the nearest level; on slips only. */
  readonly words?: string | null;
}

/** Grades as rulers with their figures, a scale each. */
export function Rulers({ grades }: { readonly grades: readonly OnScale[] }) {
  return (
    <div class={styles.rulers}>
      {grades.map((grade) => (
        <div key={grade.scale} class={styles.scale}>
          <div class={styles.scaleHead}>
            <h3>{grade.name}</h3>
            <strong class={styles.figure}>{gradeText(grade.grade, 0.1)}</strong>
          </div>
          <GradeRuler
            scale={grade}
            size="page"
            grade={grade.grade}
            low90={grade.low90}
            high90={grade.high90}
            atEnd={grade.at_end}
            marks={grade.by_steel.map((steel) => ({ at: steel.grade, kind: "steel" as const }))}
            label={sayRuler.pooled(grade.name, grade.grade, grade.low90, grade.high90)}
          />
          <p class="note figures">{say.interval(gradeText(grade.low90, 0.1), gradeText(grade.high90, 0.1))}</p>
          {grade.words && <p class="note">{grade.words}</p>}
        </div>
      ))}
    </div>
  );
}
