import type { CalibratedTester } from "../../domain/calibration";
import { leanOf, steadiness, wantsCheck } from "../../domain/mine";
import type { Trial } from "../../domain/records";
import { DriftChart } from "../../parts/DriftChart";
import { GradeRuler } from "../../parts/GradeRuler";
import { mine as say } from "../../words/mine";
import { day } from "../../words/trade";
import styles from "./style.module.css";

/** How this tester's level and steadiness stand on one scale. */
export function Level({ tester }: { tester: CalibratedTester }) {
  const { severity, severity_low90: low, severity_high90: high } = tester;
  const lean = leanOf(tester);
  // The ruler's middle is the panel; it reaches as far as the interval does.
  const reach = Math.max(1.5, Math.ceil(2 * Math.max(Math.abs(low), Math.abs(high))) / 2);
  const told = lean.kind === "severe" || lean.kind === "mild" ? say.lean[lean.kind](lean.steps) : say.lean[lean.kind];
  return (
    <>
      <section class="sheet">
        <h2>{say.level}</h2>
        <p class={styles.told}>{told}</p>
        <div class={styles.lean}>
          <GradeRuler
            scale={{ low: -reach, high: reach, step: 0.5 }}
            size="page"
            grade={-severity}
            low90={-high}
            high90={-low}
            label={say.ruler(severity, low, high)}
          />
          <p class={styles.ends}><span>{say.lower}</span><span>{say.higher}</span></p>
        </div>
        <p class="figures soft">{say.levelFigures(severity, low, high, tester.n_trials)}</p>
        {tester.check_level !== "too_few" && <p class="soft">{say.checked[tester.check_level]}</p>}
        <p class="note">{say.isCorrected}</p>
      </section>
      <section class="sheet">
        <h2>{say.steady}</h2>
        <p class={styles.told}>{say.steadyIs[steadiness(tester.weight)]}</p>
        <p class="figures soft">{say.steadyFigures(tester.sigma, tester.sigma_low90, tester.sigma_high90, tester.weight)}</p>
        {tester.note && <p class="note">{say.noted(tester.note)}</p>}
      </section>
    </>
  );
}

/** Whether the level stayed where it was, with the chart behind the answer. */
export function Moved(props: { tester: CalibratedTester; trials: ReadonlyMap<string, Trial>; codes: ReadonlyMap<string, string> }) {
  const { tester, trials, codes } = props;
  const { drift } = tester;
  if (drift === null) return null;
  const when = (i: number): string => {
    const trial = trials.get(drift.points[i]?.trial_id ?? "");
    return trial === undefined ? "" : day(trial.finished_at);
  };
  const since = drift.since !== null && drift.moved_by !== null ? when(drift.since) : "";
  const told = drift.state === "moved"
    ? since === "" ? say.movedIs.moved : say.movedIs.movedBy(drift.moved_by ?? 0, since)
    : say.movedIs[drift.state](drift.n_trials);
  return (
    <section class={`sheet ${drift.state === "moved" ? "needs-you" : ""}`}>
      <h2>{say.moved}</h2>
      <p class={styles.told}>{told}</p>
      {wantsCheck(tester) && <p>{say.check}</p>}
      {drift.points.length > 1 && (
        <>
          <DriftChart
            points={drift.points}
            since={drift.since}
            first={when(0)}
            last={when(drift.points.length - 1)}
            up={say.milder}
            down={say.severer}
            label={say.chart(drift.points.length)}
          />
          <p class="note">{say.chartHint}</p>
          <details>
            <summary class={styles.more}>{say.table}</summary>
            <table class={styles.table}>
              <thead>
                <tr>
                  <th scope="col">{say.tableHead.when}</th>
                  <th scope="col">{say.tableHead.stone}</th>
                  <th scope="col">{say.tableHead.z}</th>
                  <th scope="col">{say.tableHead.limits}</th>
                </tr>
              </thead>
              <tbody>
                {drift.points.map((point, i) => (
                  <tr key={point.trial_id}>
                    <th scope="row">{when(i)}</th>
                    <td>{codes.get(trials.get(point.trial_id)?.stone_id ?? "") ?? say.noStone}</td>
                    <td>{point.z.toFixed(2)}</td>
                    <td>{point.low.toFixed(2)} … {point.high.toFixed(2)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </details>
        </>
      )}
    </section>
  );
}
