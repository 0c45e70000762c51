import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import { fewestUnits, readAlpha, readIcc, type AgreementReport, type AgreementScale, type Alpha } from "../../domain/agreement";
import type { Purpose } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { readAll, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { useLive } from "../../store/live";
import { readAgreement, useView } from "../../sync/views";
import { agreement as say } from "../../words/agreement";
import { purposes } from "../../words/trade";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import styles from "./style.module.css";

async function readBase() {
  const [session, protocols, members] = await Promise.all([readSession(), readAll("protocol"), readAll("member", { withdrawn: true })]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  return {
    mayDeal: mayDeal(session),
    protocols: protocols.map(({ record }) => record),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
  };
}
type Base = Awaited<ReturnType<typeof readBase>>;

/** How far the panel agrees, scale by scale, in plain words with their numbers. */
export function Agreement() {
  const { query, route } = useLocation();
  const base = useLive(readBase, []);
  if (base === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (!base.mayDeal) {
    return <Page><Head title={say.title} /><p>{say.notForYou}</p><a class="button" href="/mine">{say.mine}</a></Page>;
  }
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && base.purposes.includes(wanted) ? wanted : base.purposes[0];
  return (
    <Page wide>
      <Head back={{ href: purpose === undefined ? "/pooled" : `/pooled?purpose=${purpose}`, words: say.back }} title={say.title}>
        <p class={styles.lead}>{say.lead}</p>
      </Head>
      {purpose === undefined ? <p>{say.noPurpose}</p> : (
        <>
          {base.purposes.length > 1 && (
            <Choice
              name={say.purpose} hideName lay="strip"
              options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
              value={purpose}
              onChoose={(value) => route(`/agreement?purpose=${value}`, true)}
            />
          )}
          <OfPurpose key={purpose} purpose={purpose} base={base} />
        </>
      )}
    </Page>
  );
}

function OfPurpose({ purpose, base }: { readonly purpose: Purpose; readonly base: Base }) {
  const [round, setRound] = useState(0);
  const view = useView(() => readAgreement(purpose), [purpose, round]);
  if (view === undefined) return <p class="soft" role="status">{say.asking}</p>;
  if (view.kind !== "here") {
    return (
      <div class="stack" role="alert">
        <p>{say.trouble[view.kind] ?? say.trouble["trouble"]}</p>
        {view.kind === "signed_out"
          ? <a class="button" href="/sign-in">{say.signIn}</a>
          : <button type="button" class="button" onClick={() => setRound(round + 1)}>{say.again}</button>}
      </div>
    );
  }
  const scales = inProtocolOrder(view.value.scales, base.protocols.filter((protocol) => protocol.purpose === purpose));
  return <>{scales.map((scale) => <OfScale key={scale.scale} scale={scale} base={base} />)}</>;
}

function OfScale({ scale, base }: { readonly scale: AgreementScale; readonly base: Base }) {
  const { report } = scale;
  return (
    <section class={styles.scale}>
      <h2>{scale.name}</h2>
      {report === null ? <p>{scale.why_not}</p> : (
        <>
          <p class="note">{say.basis(report.n_ratings, report.n_units, report.n_raters)}</p>
          <div class={styles.figures}>
            <OfAlpha alpha={report.alpha} why={report.why_not["alpha"]} />
            <OfIcc report={report} base={base} />
            <OfW report={report} base={base} />
            <OfPrecision report={report} />
          </div>
        </>
      )}
    </section>
  );
}

/** A question, its figure with the interval, what it means here, and when not to believe it. */
function Figure(props: {
  readonly name: string;
  readonly term: string;
  readonly value: string | null;
  readonly interval?: string | null;
  readonly means: readonly (string | null)[];
  readonly doubts: readonly (string | null)[];
  readonly source?: string;
}) {
  const said = (sentences: readonly (string | null)[]) => sentences.flatMap((one, i) => (one === null ? [] : [<p key={i}>{one}</p>]));
  return (
    <article class={styles.figure}>
      <h3>{props.name}</h3>
      {props.value !== null && (
        <p class={styles.number}>
          <strong>{props.value}</strong>
          {props.interval != null && <span class={styles.interval}>{props.interval}</span>}
        </p>
      )}
      <div class="stack">{said(props.means)}</div>
      <div class={styles.doubts}>{said(props.doubts)}</div>
      <p class={styles.source}>{props.term}. {props.source}</p>
    </article>
  );
}

function OfAlpha({ alpha, why }: { readonly alpha: Alpha; readonly why: string | undefined }) {
  const words = say.alpha;
  if (alpha.alpha === null) return <Figure name={words.name} term={words.term} value={null} means={[words.none]} doubts={[say.whyNone(why ?? alpha.note)]} />;
  const reading = readAlpha(alpha);
  return (
    <Figure
      name={words.name} term={words.term} value={words.value(alpha.alpha)}
      interval={alpha.low95 === null || alpha.high95 === null ? null : words.interval(alpha.low95, alpha.high95)}
      means={[
        words.means(alpha.alpha),
        reading.kind === "within" ? words.reads(reading.band) : reading.kind === "open" ? words.open(reading.low, reading.high) : null,
      ]}
      doubts={[reading.kind === "too_few" ? say.tooFew(alpha.n_units, fewestUnits) : null, words.when]}
      source={words.source}
    />
  );
}

const namesOf = (ids: readonly string[], base: Base): string[] => ids.map((id) => base.names.get(id) ?? id);

function OfIcc({ report, base }: { readonly report: AgreementReport; readonly base: Base }) {
  const words = say.icc;
  const { icc, block } = report;
  if (icc === null || icc.two_1.icc === null) return <Figure name={words.name} term={words.term} value={null} means={[words.none]} doubts={[say.whyNone(report.why_not["icc"] ?? "")]} />;
  const reading = readIcc(icc.two_1, block.n_units);
  return (
    <Figure
      name={words.name} term={words.term} value={words.value(icc.two_1.icc)}
      interval={icc.two_1.low95 === null || icc.two_1.high95 === null ? null : words.interval(icc.two_1.low95, icc.two_1.high95)}
      means={[
        words.means(icc.two_1.icc),
        reading.kind === "within" ? words.reads(reading.band) : reading.kind === "open" ? words.open(reading.low, reading.high) : null,
        icc.two_k.icc === null ? null : words.mean(icc.n_raters, icc.two_k.icc, icc.two_k.low95, icc.two_k.high95),
        icc.three_1.icc === null ? null : words.consistent(icc.three_1.icc, icc.three_1.low95, icc.three_1.high95),
      ]}
      doubts={[reading.kind === "too_few" ? say.tooFew(block.n_units, fewestUnits) : null, words.block(namesOf(block.tester_ids, base), block.n_units)]}
      source={words.source}
    />
  );
}

function OfW({ report, base }: { readonly report: AgreementReport; readonly base: Base }) {
  const words = say.w;
  const { kendall_w: found, block } = report;
  if (found === null || found.w === null) return <Figure name={words.name} term={words.term} value={null} means={[words.none]} doubts={[say.whyNone(report.why_not["kendall_w"] ?? "")]} />;
  return (
    <Figure
      name={words.name} term={words.term} value={words.value(found.w)}
      means={[words.means(found.w, found.n_judges), found.p === null ? null : words.chance(found.p), words.ties]}
      doubts={[
        found.n_things < fewestUnits ? say.tooFew(found.n_things, fewestUnits) : null,
        found.n_things < 8 ? words.rough : null,
        say.icc.block(namesOf(block.tester_ids, base), block.n_units),
        words.noBounds,
      ]}
    />
  );
}

const fewestRepeats = 10;

function OfPrecision({ report }: { readonly report: AgreementReport }) {
  const words = say.precision;
  const found = report.precision;
  if (found === null || found.repeatability_sd === null || found.repeatability_limit === null) {
    return <Figure name={words.name} term={words.term} value={null} means={[words.none]} doubts={[say.whyNone(report.why_not["precision"] ?? "")]} />;
  }
  return (
    <Figure
      name={words.name} term={words.term} value={found.repeatability_limit.toFixed(1)} interval={words.interval}
      means={[
        words.one(found.repeatability_limit),
        found.reproducibility_limit === null ? null : words.two(found.reproducibility_limit),
        words.sds(found.repeatability_sd, found.reproducibility_sd),
        words.basis(found.n_results, found.n_levels, found.n_labs, found.df_repeatability),
      ]}
      doubts={[found.df_repeatability < fewestRepeats ? words.fewRepeats(found.df_repeatability) : null, words.noBounds]}
      source={words.source}
    />
  );
}
