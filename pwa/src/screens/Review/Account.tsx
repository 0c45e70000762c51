import { useState } from "preact/hooks";
import { furthest, isCounted, outliers, type Review, type ReviewScale, type ReviewTrial } from "../../domain/review";
import { AsTable } from "../../parts/AsTable";
import { signed } from "../../parts/Chart/axis";
import { CourseChart, type CoursePoint } from "../../parts/CourseChart";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { PullChart } from "../../parts/PullChart";
import { SteelSign, TrialMarks, type TrialMark } from "../../parts/TrialMarks";
import { ruler as sayRuler } from "../../words/parts";
import { review as say, signNames } from "../../words/review";
import { day } from "../../words/trade";
import type { ReviewBase } from "./read";
import styles from "./style.module.css";
import { Trials } from "./Trials";

/** Pulls drawn at the most: more bars than these are a wall. */
const pullsDrawn = 24;

interface Props {
  readonly answer: Review;
  readonly scale: ReviewScale;
  readonly base: ReviewBase;
  readonly steels: readonly string[];
}

/** Who and with what, as every list and table names a trial. */
export function namesOf(base: ReviewBase) {
  const tester = (trial: ReviewTrial): string => base.names.get(trial.tester_id ?? "") ?? say.somebody;
  const steel = (key: string): string => base.steelNames.get(key) ?? key.replaceAll("_", " ");
  return { tester, steel, whole: (trial: ReviewTrial): string => `${tester(trial)}, ${steel(trial.steel)}, ${day(trial.finished_at)}` };
}

/** Everything that stands behind one grade. */
export function Account(props: Props) {
  const { answer, scale, base, steels } = props;
  const [chosen, setChosen] = useState<string | null>(null);
  return (
    <div class={styles.columns}>
      <div class={styles.column}>
        <section class="stack">
          <h2>{say.trials}</h2>
          <p class="soft">{say.trialsLead}</p>
          <Marks {...props} chosen={chosen} onChoose={setChosen} />
          <Trials answer={answer} scale={scale} base={base} steels={steels} chosen={chosen} onChoose={setChosen} />
        </section>
      </div>
      <div class={styles.column}>
        <Sticks {...props} />
        <Signs {...props} />
        <PerSteel {...props} />
        <Course {...props} />
        <Pulls {...props} />
      </div>
    </div>
  );
}

function Marks({ scale, base, steels, chosen, onChoose }: Props & { chosen: string | null; onChoose: (id: string) => void }) {
  const names = namesOf(base);
  const marks = scale.trials.map((trial): TrialMark => ({
    id: trial.trial_id,
    at: trial.corrected ?? trial.reported,
    steel: steels.indexOf(trial.steel),
    weight: trial.weight ?? 0,
    out: trial.state !== "counts",
    flagged: trial.flag === "low" || trial.flag === "high",
  }));
  const tried = steels.filter((steel) => scale.trials.some((trial) => trial.steel === steel));
  return (
    <>
      <TrialMarks
        scale={scale}
        estimate={scale.stone !== null && scale.stone.n_trials > 0 ? scale.stone : null}
        marks={marks}
        chosen={chosen}
        label={say.trialsChart(scale.name, scale.trials.length)}
        onChoose={onChoose}
      />
      <ul class={styles.legend}>
        {tried.map((steel) => <li key={steel}><SteelSign steel={steels.indexOf(steel)} /> {names.steel(steel)}</li>)}
      </ul>
      <p class="note">{say.band} {scale.borrowed !== null && scale.stone !== null && scale.stone.n_trials > 0 && say.borrowed(1 - scale.borrowed)}</p>
      <AsTable
        caption={say.trialsChart(scale.name, scale.trials.length)}
        head={say.trialsHead}
        rows={scale.trials.map((trial) => ({
          key: trial.trial_id,
          cells: [
            names.whole(trial), gradeText(trial.reported, scale.step), figure(trial.severity), figure(trial.steel_lean), plain(trial.corrected),
            plain(trial.expected), figure(trial.residual), plain(trial.weight), figure(trial.pull),
          ],
        }))}
      />
    </>
  );
}

const figure = (value: number | null): string => (value === null ? "–" : signed(value, 2));
const plain = (value: number | null): string => (value === null ? "–" : value.toFixed(2));

/** Residuals that stick out, in words. */
function Sticks({ scale, base }: Props) {
  const names = namesOf(base);
  const out = outliers(scale);
  const far = furthest(scale);
  const given = (trial: ReviewTrial): string => gradeText(trial.reported, scale.step);
  return (
    <section class={out.length > 0 ? "sheet needs-you" : "stack"}>
      <h2>{say.sticks}</h2>
      {out.length === 0 && <p>{say.sticksNone} {far !== null && <span class="soft">{say.sticksFurthest(names.tester(far), given(far), far.expected)}</span>}</p>}
      {out.map((trial) => (
        <p key={trial.trial_id}>{say.sticksOut(names.tester(trial), names.steel(trial.steel), given(trial), trial.expected, trial.flag === "high")}</p>
      ))}
    </section>
  );
}

function Signs({ scale }: Props) {
  const { check, reason, used } = scale.signs;
  const against = check !== null && scale.stone !== null;
  return (
    <section class={against ? "sheet needs-you" : "stack"}>
      <h2>{say.signs}</h2>
      {check !== null && scale.stone !== null
        ? <p>{say.signsAgainst(scale.name, check.foretold, check.foretold_sd, scale.stone.grade, check.leading === null ? null : signNames[check.leading] ?? check.leading)}</p>
        : <p>{used ? say.signsWith : say.signsUnused}</p>}
      {reason !== "" && <p class="note">{reason}</p>}
    </section>
  );
}

/** The stone as each steel finds it. */
function PerSteel({ scale, base, steels }: Props) {
  const grades = scale.stone?.by_steel ?? [];
  const names = namesOf(base);
  if (scale.stone === null || scale.stone.n_trials === 0 || grades.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.steels}</h2>
      <p class="soft">{say.steelsLead}</p>
      <ul class={styles.steels}>
        {grades.map((one) => (
          <li key={one.steel} class={styles.steel}>
            <span class={styles.steelName}>{steels.includes(one.steel) && <SteelSign steel={steels.indexOf(one.steel)} out={one.n_trials === 0} />} {names.steel(one.steel)}</span>
            <strong class="figures">{gradeText(one.grade, 0.1)}</strong>
            <span class={styles.ruler}>
              <GradeRuler scale={scale} size="row" grade={one.grade} low90={one.low90} high90={one.high90} label={sayRuler.pooled(`${scale.name}, ${names.steel(one.steel)}`, one.grade, one.low90, one.high90)} />
            </span>
            <span class="note">{say.steelTrials(one.n_trials)}</span>
          </li>
        ))}
      </ul>
      <AsTable
        caption={`${scale.name}: ${say.steels}`}
        head={say.steelsHead}
        rows={grades.map((one) => ({ key: one.steel, cells: [names.steel(one.steel), plain(one.grade), plain(one.low90), plain(one.high90), String(one.n_trials)] }))}
      />
    </section>
  );
}

/** How the grade settled as the trials came in. */
function Course({ scale, base, steels }: Props) {
  const trials = scale.trials.filter(isCounted);
  const names = namesOf(base);
  const first = trials[0];
  const last = trials[trials.length - 1];
  if (scale.before === null || first === undefined || last === undefined) return null;
  const points: CoursePoint[] = [
    { ...scale.before, trial: null },
    ...trials.map((trial) => ({ ...trial.after, trial: { at: trial.corrected, steel: steels.indexOf(trial.steel) } })),
  ];
  return (
    <section class="stack">
      <h2>{say.course}</h2>
      <p class="soft">{say.courseLead}</p>
      <CourseChart scale={scale} points={points} first={day(first.finished_at)} last={trials.length > 1 ? day(last.finished_at) : ""} axis={say.courseAxis} label={say.courseChart(scale.name, trials.length)} />
      <AsTable
        caption={say.courseChart(scale.name, trials.length)}
        head={say.courseHead}
        rows={[
          { key: "before", cells: [say.before, plain(scale.before.grade), plain(scale.before.low90), plain(scale.before.high90)] },
          ...trials.map((trial) => ({ key: trial.trial_id, cells: [names.whole(trial), plain(trial.after.grade), plain(trial.after.low90), plain(trial.after.high90)] })),
        ]}
      />
    </section>
  );
}

/** Leave one out: what each trial does to the grade. */
function Pulls({ scale, base, steels }: Props) {
  const names = namesOf(base);
  const trials = scale.trials.filter(isCounted);
  const most = [...trials].sort((a, b) => Math.abs(b.pull) - Math.abs(a.pull));
  const { stone } = scale;
  if (stone === null || trials.length < 2) return null;
  return (
    <section class="stack">
      <h2>{say.pulls_title}</h2>
      <p class="soft">{say.pullsLead}</p>
      <PullChart
        pulls={most.slice(0, pullsDrawn).map((trial) => ({ id: trial.trial_id, name: names.tester(trial), pull: trial.pull, flagged: trial.flag !== "", steel: steels.indexOf(trial.steel) }))}
        label={say.pullsChart(scale.name, trials.length)}
      />
      {most.length > pullsDrawn && <p class="note">{say.pullsMost(pullsDrawn)}</p>}
      <AsTable
        caption={say.pullsChart(scale.name, trials.length)}
        head={say.pullsHead}
        rows={most.map((trial) => ({ key: trial.trial_id, cells: [names.whole(trial), figure(trial.pull), plain(stone.grade - trial.pull)] }))}
      />
    </section>
  );
}
