import type { CalibratedTester, CalibrationScale } from "../../domain/calibration";
import { leanOf, steadiness, wantsCheck } from "../../domain/mine";
import { DriftChart } from "../../parts/DriftChart";
import { GradeRuler } from "../../parts/GradeRuler";
import { readAll } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { testers as say } from "../../words/testers";
import { day } from "../../words/trade";
import styles from "./style.module.css";
import type { TestersBase } from "./useTesters";

/** Everything that is known of how one tester grades on one scale. */
export function OneTester(props: {
  readonly tester: CalibratedTester | null;
  readonly scale: CalibrationScale;
  readonly base: TestersBase;
  readonly name: string;
  readonly testerId: string;
}) {
  const { tester, base, testerId } = props;
  const trials = useLive(async () => {
    const all = await readAll("trial", { where: { created_by: testerId }, withdrawn: true });
    return new Map(all.map(({ record }) => [record.id, record]));
  }, [testerId]);
  if (tester === null) return <p>{say.nothingOf}</p>;
  const whenOf = (trialId: string): string => {
    const trial = trials?.get(trialId);
    return trial === undefined ? "" : day(trial.finished_at);
  };
  const stoneOf = (trialId: string): string => base.codes.get(trials?.get(trialId)?.stone_id ?? "") ?? say.noStone;
  return (
    <div class={styles.columns}>
      <div class={styles.column}>
        <Level tester={tester} name={props.name} />
        <Steady tester={tester} />
      </div>
      <div class={styles.column}>
        <Moved tester={tester} whenOf={whenOf} stoneOf={stoneOf} />
        <CheckRecord tester={tester} base={base} />
      </div>
    </div>
  );
}

function Level({ tester, name }: { readonly tester: CalibratedTester; readonly name: string }) {
  const { severity, severity_low90: low, severity_high90: high } = tester;
  const reach = Math.max(1.5, Math.ceil(2 * Math.max(Math.abs(low), Math.abs(high))) / 2);
  return (
    <section class="sheet">
      <h2>{say.levelTitle}</h2>
      <p class={styles.told}>{say.levelIs[leanOf(tester).kind]}</p>
      <div class={styles.drawn}>
        <GradeRuler
          scale={{ low: -reach, high: reach, step: 0.5 }} size="page" grade={-severity} low90={-high} high90={-low}
          label={say.ruler(name, severity, low, high)}
        />
        <p class={styles.ends}><span>{say.lower}</span><span>{say.higher}</span></p>
      </div>
      <p class="figures soft">{say.levelFigures(severity, low, high, tester.n_trials)}</p>
      <p class="note">{say.corrected}</p>
    </section>
  );
}

function Steady({ tester }: { readonly tester: CalibratedTester }) {
  const { sigma, sigma_low90: low, sigma_high90: high } = tester;
  const reach = Math.max(1, Math.ceil(2 * high) / 2);
  return (
    <section class="sheet">
      <h2>{say.steadyTitle}</h2>
      <p class={styles.told}>{say.steadyIs[steadiness(tester.weight)]}</p>
      <div class={styles.drawn}>
        <GradeRuler scale={{ low: 0, high: reach, step: 0.25 }} size="page" grade={sigma} low90={low} high90={high} label={say.sigmaRuler(sigma, low, high)} />
        <p class={styles.ends}><span>{say.tight}</span><span>{say.loose}</span></p>
      </div>
      <p class="figures soft">{say.steadyFigures(sigma, low, high)}</p>
      <p class="figures soft">{say.weight(tester.weight)}</p>
      {tester.note !== null && tester.note !== "" && <p class="note">{say.noted(tester.note)}</p>}
    </section>
  );
}

function Moved(props: { readonly tester: CalibratedTester; readonly whenOf: (trialId: string) => string; readonly stoneOf: (trialId: string) => string }) {
  const { tester, whenOf, stoneOf } = props;
  const { drift, check_drift } = tester;
  if (drift === null) return null;
  const when = (i: number): string => whenOf(drift.points[i]?.trial_id ?? "");
  const since = drift.since !== null && drift.moved_by !== null ? when(drift.since) : "";
  const told = drift.state === "moved"
    ? since === "" ? say.movedIs.moved : say.movedIs.movedBy(drift.moved_by ?? 0, since)
    : say.movedIs[drift.state](drift.n_trials);
  return (
    <section class={`sheet ${drift.state === "moved" ? "needs-you" : ""}`}>
      <h2>{say.movedTitle}</h2>
      <p class={styles.told}>{told}</p>
      {check_drift !== null && <p>{say.onCheck[check_drift.state]}</p>}
      {tester.drift_note !== "" && <p class="soft">{tester.drift_note}</p>}
      {wantsCheck(tester) && <p>{say.wantsCheck}</p>}
      {drift.points.length > 1 && (
        <>
          <DriftChart
            points={drift.points} since={drift.since} first={when(0)} last={when(drift.points.length - 1)}
            up={say.milder} down={say.severer} label={say.chart(drift.points.length)}
          />
          <p class="note">{say.chartHint}</p>
          <details>
            <summary class={styles.more}>{say.chartTable}</summary>
            <table class={styles.figuresTable}>
              <thead>
                <tr>{Object.values(say.chartHead).map((words) => <th key={words} scope="col">{words}</th>)}</tr>
              </thead>
              <tbody>
                {drift.points.map((point, i) => (
                  <tr key={point.trial_id}>
                    <th scope="row">{when(i)}</th>
                    <td>{stoneOf(point.trial_id)}</td>
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

function CheckRecord({ tester, base }: { readonly tester: CalibratedTester; readonly base: TestersBase }) {
  const record = tester.check_record;
  return (
    <section class="sheet">
      <h2>{say.checkTitle}</h2>
      {record.length === 0 ? <p>{say.checkNone}</p> : (
        <>
          <p class={styles.told}>{say.checkIs[tester.check_level]}</p>
          <ol class={styles.record}>
            {record.map((one) => (
              <li key={one.trial_id}>
                <span class={styles.recordHead}>
                  <a class={styles.code} href={`/stones/${one.stone_id}`}>{base.codes.get(one.stone_id) ?? say.noStone}</a>
                  <span class="note">{day(one.finished_at)} · {base.steels.get(one.steel) ?? one.steel.replaceAll("_", " ")}</span>
                </span>
                <dl class={styles.recordFigures}>
                  <div><dt>{say.checkHead.reported}</dt><dd>{one.reported.toFixed(1)}</dd></div>
                  <div><dt>{say.checkHead.agreed}</dt><dd>{say.agreed(one.agreed, one.agreed_sd)}</dd></div>
                  <div><dt>{say.checkHead.difference}</dt><dd><strong>{say.difference(one.difference)}</strong></dd></div>
                </dl>
              </li>
            ))}
          </ol>
          <p class="note">{say.checkHint}</p>
          <p class="note">{say.secret}</p>
        </>
      )}
    </section>
  );
}
