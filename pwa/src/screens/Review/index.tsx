import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import type { Purpose, Stone } from "../../domain/records";
import { steelsTried, type Review as Answer, type ReviewScale } from "../../domain/review";
import { Choice } from "../../parts/Choice";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { ruler as sayRuler } from "../../words/parts";
import { review as say } from "../../words/review";
import { forms, kinds, purposes } from "../../words/trade";
import { Freshness } from "../Pooled/Freshness";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { Account } from "./Account";
import { Face } from "./Face";
import { firstPurpose, readReviewBase, turnOf, type ReviewBase } from "./read";
import styles from "./style.module.css";
import { useReview } from "./useReview";

/** One stone before the dealer who answers for its grades: where they come from, and what each trial does to them. */
export function Review({ id }: { readonly id: string }) {
  const base = useLive(() => readReviewBase(id), [id]);
  if (base === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { stone } = base;
  const back = { href: `/stones/${id}`, words: say.back(stone?.code ?? "") };
  if (stone === null) return <Page><Head back={{ href: "/stones", words: say.back("") }} title={say.title("")} /><p>{say.noStone}</p></Page>;
  if (!base.mayDeal) return <Page><Head back={back} title={say.title(stone.code)} /><p>{say.notForYou}</p></Page>;
  return <OfStone base={base} stone={stone} back={back} />;
}

function OfStone({ base, stone, back }: { readonly base: ReviewBase; readonly stone: Stone; readonly back: { href: string; words: string } }) {
  const { query, route } = useLocation();
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && base.purposes.includes(wanted) ? wanted : firstPurpose(base) ?? null;
  const view = useReview(stone.id, purpose, turnOf(base));
  const answer = view?.answer ? inOrder(view.answer, base) : null;
  const suffix = purpose === null ? "" : `?purpose=${purpose}`;
  return (
    <Page
      wide
      actions={
        <>
          <a class="button" href={`/plan?${purpose === null ? "" : `purpose=${purpose}&`}stone=${stone.id}`}>{say.plan}</a>
          <a class="button button-main" href={`/stones/${stone.id}/publish${suffix}`}>{say.publish}</a>
        </>
      }
    >
      <Head back={back} title={say.title(stone.code)}>
        <p class="soft">{[kinds[stone.kind], forms[stone.form]].join(", ")}</p>
      </Head>
      {base.purposes.length === 0 && <p>{say.noPurpose}</p>}
      {base.purposes.length > 1 && purpose && (
        <Choice
          name={say.purpose}
          hideName
          lay="strip"
          options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
          value={purpose}
          onChoose={(value) => route(`/stones/${stone.id}/review?purpose=${value}`, true)}
        />
      )}
      <Freshness view={view} />
      <div class={styles.columns}>
        <Face base={base} stone={stone} />
        {answer && <Grades scales={answer.scales} />}
      </div>
      {answer && <OfScale key={answer.purpose} answer={answer} base={base} />}
    </Page>
  );
}

const inOrder = (answer: Answer, base: ReviewBase): Answer =>
  ({ ...answer, scales: inProtocolOrder(answer.scales, base.protocols.filter((protocol) => protocol.purpose === answer.purpose)) });

/** The pooled grades, a ruler each. */
function Grades({ scales }: { readonly scales: readonly ReviewScale[] }) {
  const tried = scales.some((scale) => scale.trials.length > 0);
  return (
    <section class="stack">
      <h2>{say.grades}</h2>
      {!tried && <p>{say.untried}</p>}
      {tried && scales.map((scale) => {
        const grade = scale.stone;
        return (
          <article key={scale.scale} class={styles.grade}>
            <header class="spread">
              <h3>{scale.name}</h3>
              {grade && <strong class={styles.figure}>{gradeText(grade.grade, 0.1)}</strong>}
            </header>
            {grade === null || grade.n_trials === 0 ? <p class="soft">{say.ungraded}</p> : (
              <>
                <GradeRuler
                  scale={scale}
                  size="page"
                  grade={grade.grade}
                  low90={grade.low90}
                  high90={grade.high90}
                  atEnd={grade.at_end}
                  marks={grade.by_steel.filter((steel) => steel.n_trials > 0).map((steel) => ({ at: steel.grade, kind: "steel" as const }))}
                  label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
                />
                <p class="figures note">{say.interval(grade.low90, grade.high90)}. {say.evidence(grade.n_trials, grade.n_testers, grade.n_steels)}.</p>
                {grade.at_end && <p class="note">{say.atEnd[grade.at_end]}</p>}
                {grade.note && <p class="note">{grade.note.charAt(0).toUpperCase() + grade.note.slice(1)}.</p>}
                {!scale.converged && <p class="sheet needs-you">{say.unsettled}</p>}
              </>
            )}
          </article>
        );
      })}
    </section>
  );
}

/** The account of one scale at a time: three scales of charts at once are too long for a phone and too much for an eye. */
function OfScale({ answer, base }: { readonly answer: Answer; readonly base: ReviewBase }) {
  const scales = answer.scales.filter((scale) => scale.trials.length > 0);
  const [chosen, setChosen] = useState<string | null>(null);
  const scale = scales.find((one) => one.scale === chosen) ?? scales[0];
  if (scale === undefined) return null;
  return (
    <>
      {scales.length > 1 && (
        <Choice
          name={say.whichScale}
          lay="strip"
          options={scales.map((one) => ({ value: one.scale, words: one.name }))}
          value={scale.scale}
          onChoose={setChosen}
        />
      )}
      <Account answer={answer} scale={scale} base={base} steels={steelsTried(answer)} />
      <p class="note">{say.method(answer.method_version, answer.revision)} {scale.level_note}</p>
    </>
  );
}
