import type { StoneGrade } from "../../domain/pooled";
import type { Blade, Protocol, Purpose, Trial } from "../../domain/records";
import { GradeRuler, type Mark } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { ruler as sayRuler } from "../../words/parts";
import { stone as say } from "../../words/stone";
import { day, purposes } from "../../words/trade";
import { Freshness } from "../Pooled/Freshness";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { usePooled } from "../Pooled/usePooled";
import rows from "./own.module.css";
import styles from "./style.module.css";

/** One purpose's pooled grades of this stone: per scale, and per steel, with the evidence in words. */
export function Panel(props: { stoneId: string; purpose: Purpose; blades: ReadonlyMap<string, Blade>; protocols: readonly Protocol[]; ownTrials: readonly Trial[]; others: readonly Trial[]; names: ReadonlyMap<string, string>; perSteel: boolean }) {
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
            {others.length > 0 && <EachTrial scale={scale} trials={others} names={props.names} blades={props.blades} />}
            {props.perSteel && grade.by_steel.length > 1 && <Steels grade={grade} scale={scale} blades={props.blades} />}
          </article>
        );
      })}
      {scales.length > 0 && <p class="note">{props.others.length > 0 ? say.legendTrials : say.legend}</p>}
    </section>
  );
}

function Steels({ grade, scale, blades }: { grade: StoneGrade; scale: { low: number; high: number; step: number; name: string }; blades: ReadonlyMap<string, Blade> }) {
  const names = new Map([...blades.values()].map((blade) => [blade.steel, blade.steel_name]));
  return (
    <div class={styles.steels}>
      <h4 class="note">{say.perSteel}</h4>
      {grade.by_steel.map((steel) => (
        <div key={steel.steel} class={styles.steel}>
          <span>{names.get(steel.steel) ?? steel.steel.replace(/_/g, " ")}</span>
          <span class={styles.steelFigure}>{gradeText(steel.grade, 0.1)}</span>
          <GradeRuler
            scale={scale}
            size="row"
            grade={steel.grade}
            low90={steel.low90}
            high90={steel.high90}
            label={sayRuler.pooled(scale.name, steel.grade, steel.low90, steel.high90)}
          />
        </div>
      ))}
    </div>
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
