import type { Blade, Protocol, Purpose, Trial } from "../../domain/records";
import { GradeRuler, type Mark } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { ruler as sayRuler } from "../../words/parts";
import { review as sayReview } from "../../words/review";
import { stone as say } from "../../words/stone";
import { day, purposes } from "../../words/trade";
import { Freshness } from "../Pooled/Freshness";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { usePooled } from "../Pooled/usePooled";
import rows from "./own.module.css";
import styles from "./style.module.css";

/** One purpose's pooled grades of this stone with the evidence in words; where they come from is for the review. */
export function Panel(props: { stoneId: string; purpose: Purpose; blades: ReadonlyMap<string, Blade>; protocols: readonly Protocol[]; ownTrials: readonly Trial[]; others: readonly Trial[]; names: ReadonlyMap<string, string>; mayReview: boolean }) {
  const view = usePooled(props.purpose);
  const scales = inProtocolOrder(view?.answer?.scales ?? [], props.protocols).flatMap((scale) => {
    const grade = scale.stones.find((s) => s.stone_id === props.stoneId);
    return grade && grade.n_trials > 0 ? [{ scale, grade }] : [];
  });
  return (
    <section class="stack">
      <h2>{say.panel(purposes[props.purpose])}</h2>
      <Freshness view={view} />
      {view !== undefined && view.answer !== null && scales.length === 0 && <p class="soft">{say.panelNone}</p>}
      {scales.map(({ scale, grade }) => {
        const own = props.ownTrials.flatMap((trial): Mark[] => {
          const at = trial.grades[scale.scale];
          return at === undefined ? [] : [{ at, kind: "own" }];
        });
        const others = props.others.filter((trial) => trial.grades[scale.scale] !== undefined);
        return (
          <article key={scale.scale} class="sheet">
            <header class={styles.gradeHead}>
              <h3>{scale.name}</h3>
              <span class={styles.figure}>{gradeText(grade.grade, 0.1)}</span>
            </header>
            <GradeRuler
              scale={scale}
              size="page"
              grade={grade.grade}
              low90={grade.low90}
              high90={grade.high90}
              atEnd={grade.at_end}
              marks={[...grade.by_steel.map((s): Mark => ({ at: s.grade, kind: "steel" })), ...own, ...others.map((t): Mark => ({ at: t.grades[scale.scale] ?? 0, kind: "trial" }))]}
              label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
            />
            <p class="figures">
              {say.interval(gradeText(grade.low90, 0.1), gradeText(grade.high90, 0.1))}. {say.evidence(grade.n_trials, grade.n_testers, grade.n_steels)}.
            </p>
            {grade.at_end && <p>{say.atEnd[grade.at_end]}</p>}
            {grade.note && <p class="soft">{grade.note}</p>}
            {others.length > 0 && !props.mayReview && <EachTrial scale={scale} trials={others} names={props.names} blades={props.blades} />}
          </article>
        );
      })}
      {scales.length > 0 && props.mayReview && (
        <p><a class="button" href={`/stones/${props.stoneId}/review?purpose=${props.purpose}`}>{sayReview.linkFor(props.purpose)}</a></p>
      )}
      {scales.length > 0 && <p class="note">{props.others.length > 0 ? say.legendTrials : say.legend}</p>}
    </section>
  );
}

/** What the strikes under the ruler stand for, the latest first. */
function EachTrial(props: { scale: { scale: string; step: number }; trials: readonly Trial[]; names: ReadonlyMap<string, string>; blades: ReadonlyMap<string, Blade> }) {
  const { scale } = props;
  const sorted = [...props.trials].sort((a, b) => b.finished_at.localeCompare(a.finished_at));
  return (
    <details>
      <summary class={rows.more}>{say.eachTrial(sorted.length)}</summary>
      <table class={rows.table}>
        <tbody>
          {sorted.map((trial) => (
            <tr key={trial.id}>
              <th scope="row">{props.names.get(trial.created_by ?? "") ?? say.someTester}</th>
              <td>{props.blades.get(trial.blade_id)?.name ?? say.noBlade}</td>
              <td>{day(trial.finished_at)}</td>
              <td><strong>{gradeText(trial.grades[scale.scale] ?? 0, scale.step)}</strong></td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
