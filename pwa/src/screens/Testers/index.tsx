import { useLocation } from "preact-iso";
import { useEffect } from "preact/hooks";
import { meanDifference, type CalibratedTester, type CalibrationScale } from "../../domain/calibration";
import { leanOf, wantsCheck } from "../../domain/mine";
import type { Purpose } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { GradeRuler } from "../../parts/GradeRuler";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { testers as say } from "../../words/testers";
import { purposes } from "../../words/trade";
import { Freshness } from "../Pooled/Freshness";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { OneTester } from "./One";
import styles from "./style.module.css";
import { readTestersBase, useTesters, type TestersBase } from "./useTesters";

/** How each tester grades, for dealer and steward; a tester is taken to the own page. */
export function Testers() {
  return <Chosen testerId={null} />;
}

/** One tester's level, steadiness, drift and record on check stones. */
export function Tester({ id }: { readonly id: string }) {
  return <Chosen testerId={id} />;
}

function Chosen({ testerId }: { readonly testerId: string | null }) {
  const { query, route } = useLocation();
  const base = useLive(readTestersBase, []);
  const mayNot = base !== undefined && !base.mayDeal;
  useEffect(() => {
    if (mayNot) route("/mine", true);
    // eslint-disable-next-line react-hooks/exhaustive-deps -- route is new with every navigation
  }, [mayNot]);
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && base?.purposes.includes(wanted) === true ? wanted : base?.purposes[0] ?? null;
  const view = useTesters(base?.mayDeal === true ? purpose : null);
  if (base === undefined || mayNot) return <Page><p class="soft">{say.reading}</p></Page>;

  const scales = inProtocolOrder(view?.answer?.scales ?? [], base.protocols.filter((protocol) => protocol.purpose === purpose));
  const scale = scales.find((one) => one.scale === query["scale"]) ?? scales[0];
  const suffix = (changes: Record<string, string>): string => {
    const all = { ...(purpose === null ? {} : { purpose }), ...(scale === undefined ? {} : { scale: scale.scale }), ...changes };
    return Object.keys(all).length === 0 ? "" : `?${new URLSearchParams(all).toString()}`;
  };
  const here = testerId === null ? "/testers" : `/testers/${testerId}`;
  const name = testerId === null ? null : base.names.get(testerId) ?? null;
  return (
    <Page wide>
      {testerId === null
        ? (
          <Head back={{ href: purpose === null ? "/pooled" : `/pooled?purpose=${purpose}`, words: say.back }} title={say.title}>
            <p class={styles.lead}>{say.lead}</p>
            <Freshness view={view} />
          </Head>
        )
        : (
          <Head back={{ href: `/testers${suffix({})}`, words: say.backToAll }} title={name ?? say.unknown}>
            <Freshness view={view} />
          </Head>
        )}
      {base.purposes.length === 0 && <p>{say.noPurpose}</p>}
      <div class={styles.choices}>
        {base.purposes.length > 1 && (
          <Choice
            name={say.purpose} lay="strip" value={purpose}
            options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
            onChoose={(value) => route(`${here}${suffix({ purpose: value })}`, true)}
          />
        )}
        {scales.length > 1 && (
          <Choice
            name={say.scale} lay="strip" value={scale?.scale ?? null}
            options={scales.map(({ scale: value, name: words }) => ({ value, words }))}
            onChoose={(value) => route(`${here}${suffix({ scale: value })}`, true)}
          />
        )}
      </div>
      {testerId !== null && name === null && <p>{say.notHere}</p>}
      {scale !== undefined && testerId === null && <All scale={scale} base={base} suffix={suffix({})} />}
      {scale !== undefined && testerId !== null && (
        <OneTester
          key={`${testerId} ${scale.scale}`}
          tester={scale.testers.find((one) => one.tester_id === testerId) ?? null}
          scale={scale} base={base} name={name ?? say.unknown} testerId={testerId}
        />
      )}
    </Page>
  );
}

/** The furthest that any tester's interval reaches, so that all rulers have one scale. */
function reachOf(testers: readonly CalibratedTester[]): number {
  const most = testers.reduce((reach, one) => Math.max(reach, Math.abs(one.severity_low90), Math.abs(one.severity_high90)), 0);
  return Math.max(1, Math.ceil(most * 2) / 2);
}

function All({ scale, base, suffix }: { readonly scale: CalibrationScale; readonly base: TestersBase; readonly suffix: string }) {
  if (scale.testers.length === 0) return <p>{say.none}</p>;
  const name = (id: string): string => base.names.get(id) ?? say.unknown;
  const testers = [...scale.testers].sort((a, b) => name(a.tester_id).localeCompare(name(b.tester_id)));
  const reach = reachOf(testers);
  return (
    <div role="table" class={styles.table} aria-label={say.title}>
      <div role="row" class={`${styles.tr} ${styles.th}`}>
        {[say.tester, say.level, say.steady, say.moved, say.check].map((words) => <span key={words} role="columnheader">{words}</span>)}
      </div>
      {testers.map((tester) => <Row key={tester.tester_id} tester={tester} name={name(tester.tester_id)} reach={reach} suffix={suffix} />)}
    </div>
  );
}

function Row({ tester, name, reach, suffix }: { readonly tester: CalibratedTester; readonly name: string; readonly reach: number; readonly suffix: string }) {
  const mean = meanDifference(tester.check_record);
  const { severity, severity_low90: low, severity_high90: high } = tester;
  return (
    <div role="row" class={styles.tr}>
      <span role="rowheader" class={styles.who}>
        <a class={styles.name} href={`/testers/${tester.tester_id}${suffix}`}>{name}</a>
        <span class="note">{say.trials(tester.n_trials)}</span>
      </span>
      <span role="cell" class={styles.cell}>
        <span class={styles.cellName} aria-hidden="true">{say.level}</span>
        <GradeRuler
          scale={{ low: -reach, high: reach, step: 0.5 }} size="row" grade={-severity} low90={-high} high90={-low}
          label={say.ruler(name, severity, low, high)}
        />
        <span class={styles.figures}>{say.lean[leanOf(tester).kind]}: {say.figures(severity)}</span>
      </span>
      <span role="cell" class={styles.cell}>
        <span class={styles.cellName} aria-hidden="true">{say.steady}</span>
        <span class={styles.figures}>{say.sigma(tester.sigma, tester.weight)}</span>
        {tester.note !== null && tester.note !== "" && <span class="note">{tester.note}</span>}
      </span>
      <span role="cell" class={styles.cell}>
        <span class={styles.cellName} aria-hidden="true">{say.moved}</span>
        <span class={tester.drift?.state === "moved" ? styles.hand : ""}>{say.drift[tester.drift?.state ?? "too_few"]}</span>
        {wantsCheck(tester) && <span class="note">{say.wantsCheck}</span>}
      </span>
      <span role="cell" class={styles.cell}>
        <span class={styles.cellName} aria-hidden="true">{say.check}</span>
        <span class={styles.figures}>{mean === null ? say.noRecord : say.record(tester.check_record.length, mean)}</span>
      </span>
    </div>
  );
}
