import { useLocation } from "preact-iso";
import { useMemo, useState } from "preact/hooks";
import type { Pooled as Answer, PooledScale } from "../../domain/pooled";
import type { Purpose, Stone } from "../../domain/records";
import { GradeField } from "../../parts/Chart";
import type { FieldPoint } from "../../parts/Chart/geometry";
import { Choice } from "../../parts/Choice";
import { SelectField } from "../../parts/Fields";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { readAll, readClub, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { useLive } from "../../store/live";
import { planLink } from "../../words/plan";
import { ruler as sayRuler } from "../../words/parts";
import { pooled as say } from "../../words/pooled";
import { purposes } from "../../words/trade";
import { ToReissue } from "../Publish/ToReissue";
import { byStone, hinders, isReady, ordered, type Flag, type Order, type PooledStone } from "./flags";
import { Freshness } from "./Freshness";
import { inProtocolOrder, shortName } from "./scaleOrder";
import { usePooled } from "./usePooled";
import styles from "./style.module.css";

/** So many rows at a time; a club with thousands of stones asks for more as it reads. */
const rowsAtATime = 60;
/** The list beside the chart is a summary; the table below has them all. */
const lackingShown = 6;

/** What the panel makes of every stone, for those who answer for the grades. */
export function Pooled() {
  const { query, route } = useLocation();
  const base = useLive(readBase, []);
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && wanted in purposes ? wanted : base?.purposes[0] ?? null;
  const view = usePooled(base?.mayDeal === true ? purpose : null);
  if (base === undefined) return <div class="page"><p class="soft">{say.asking}</p></div>;
  if (!base.mayDeal) return <div class="page"><h1>{say.title}</h1><p>{say.notForYou}</p></div>;
  return (
    <div class="page page-wide">
      <h1>{say.title}</h1>
      {base.purposes.length === 0 && <p>{say.noPurpose}</p>}
      {base.purposes.length > 1 && (
        <Choice
          name={say.purpose}
          hideName
          lay="strip"
          options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
          value={purpose}
          onChoose={(value) => route(`/pooled?purpose=${value}`, true)}
        />
      )}
      <Freshness view={view} />
      <p><a class="button" href={purpose === null ? "/plan" : `/plan?purpose=${purpose}`}>{planLink}</a></p>
      <ToReissue codeOf={(id) => base.stones.get(id)?.code ?? say.flags.unknown} />
      {view?.answer && <Grades key={purpose} answer={view.answer} base={base} />}
      {view?.answer && <Reached answer={view.answer} />}
    </div>
  );
}

/** What holds the level, and what the signs are worth, for whoever wants to know. */
function Reached({ answer }: { answer: Answer }) {
  return (
    <details>
      <summary class={styles.reached}>{say.how}</summary>
      <div class="stack">
        {answer.scales.map((scale) => (
          <div key={scale.scale}>
            <h3>{scale.name}</h3>
            {scale.level_note && <p>{scale.level_note}</p>}
            {scale.signs && <p>{scale.signs.reason}</p>}
          </div>
        ))}
        <p class="note">{say.method(answer.method_version, answer.revision)}</p>
      </div>
    </details>
  );
}

async function readBase() {
  const [session, stones, protocols, club, members, blades] = await Promise.all([
    readSession(), readAll("stone"), readAll("protocol"), readClub(), readAll("member"), readAll("blade"),
  ]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  return {
    mayDeal: mayDeal(session),
    stones: new Map<string, Stone>(stones.map(({ record }) => [record.id, record])),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    protocols: protocols.map(({ record }) => record),
    members: new Map(members.map(({ record }) => [record.id, record.display_name])),
    steels: new Map(blades.map(({ record }) => [record.steel, record.steel_name])),
    rules: club?.record.publish_rules ?? null,
  };
}
type Base = Awaited<ReturnType<typeof readBase>>;

function Grades({ answer, base }: { answer: Answer; base: Base }) {
  const scales = useMemo(
    () => inProtocolOrder(answer.scales, base.protocols.filter((p) => p.purpose === answer.purpose)),
    [answer, base.protocols],
  );
  const [chosen, setChosen] = useState<string | null>(null);
  const [order, setOrder] = useState<Order>("code");
  const [shown, setShown] = useState(rowsAtATime);
  const codeOf = (id: string): string => base.stones.get(id)?.code ?? say.flags.unknown;
  const stones = useMemo(() => byStone(scales, base.rules), [scales, base.rules]);
  const rows = useMemo(() => ordered(stones, order, (id) => base.stones.get(id)?.code ?? ""), [stones, order, base.stones]);

  const across = scales.find((s) => s.scale === "hardness") ?? scales[0];
  const up = scales.find((s) => s.scale === "fineness") ?? scales[1];
  const points = across && up
    ? stones.flatMap((stone): FieldPoint[] => {
      const [a, u] = [stone.grades.get(across.scale), stone.grades.get(up.scale)];
      return a && u && a.n_trials > 0 && u.n_trials > 0
        ? [{ id: stone.stone_id, code: codeOf(stone.stone_id), across: a, up: u, doubtful: !isReady(stone) }]
        : [];
    })
    : [];
  const picked = stones.find((stone) => stone.stone_id === chosen);

  return (
    <>
      {scales.filter((s) => !s.converged).map((s) => <p key={s.scale} class="sheet needs-you">{s.name}: {say.unsettled}</p>)}
      {across && up && points.length > 0 && (
        <div class={styles.fieldAndChosen}>
          <div>
            <GradeField
              across={across}
              up={up}
              points={points}
              chosen={chosen}
              label={say.chart(points.length, across.name, up.name)}
              onChoose={setChosen}
            />
            <p class="note">{say.chartHint}</p>
          </div>
          {picked === undefined && <Readiness stones={stones} codeOf={codeOf} onChoose={setChosen} />}
          {picked && <Chosen stone={picked} record={base.stones.get(picked.stone_id)} scales={scales} code={codeOf(picked.stone_id)} />}
        </div>
      )}

      <Links scales={scales} base={base} codeOf={codeOf} />

      <div class={styles.order}>
        <SelectField
          name={say.order}
          value={order}
          options={(Object.keys(say.orders) as Order[]).map((value) => ({ value, words: say.orders[value] }))}
          onSet={(value) => { if (value !== "") setOrder(value); }}
        />
      </div>
      <div role="table" class={styles.table} aria-label={say.title}>
        <div role="row" class={`${styles.tr} ${styles.th}`}>
          <span role="columnheader">{say.stone}</span>
          {scales.map((scale) => <span key={scale.scale} role="columnheader">{scale.name}</span>)}
          <span role="columnheader">{say.evidence}</span>
        </div>
        {rows.slice(0, shown).map((stone) => (
          <div key={stone.stone_id} role="row" class={styles.tr}>
            <span role="rowheader" class={styles.stoneCell}>
              <a class={styles.code} href={`/stones/${stone.stone_id}`}>
                <Face stone={base.stones.get(stone.stone_id)} />
                {codeOf(stone.stone_id)}
              </a>
            </span>
            {scales.map((scale) => <GradeCell key={scale.scale} scale={scale} stone={stone} />)}
            <span role="cell" class={styles.evidence}>
              <Counts stone={stone} />
              <Flags flags={stone.flags} />
            </span>
          </div>
        ))}
      </div>
      {rows.length > shown && (
        <button type="button" class="button" onClick={() => setShown(shown + rowsAtATime)}>
          {say.more(Math.min(rowsAtATime, rows.length - shown))}
        </button>
      )}
    </>
  );
}

/** Which trials would join groups of stones that cannot be compared yet. */
function Links({ scales, base, codeOf }: { scales: readonly PooledScale[]; base: Base; codeOf: (id: string) => string }) {
  const links = scales.flatMap((scale) => scale.proposed_links ?? []);
  const once = links.filter((link, i) => links.findIndex((l) => l.stone_id === link.stone_id && l.tester_id === link.tester_id) === i);
  if (once.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.links}</h2>
      <p class="soft">{say.linksLead}</p>
      <ul>
        {once.map((link) => (
          <li key={`${link.stone_id} ${link.tester_id}`}>
            {say.link(codeOf(link.stone_id), base.members.get(link.tester_id) ?? say.someTester, base.steels.get(link.steel) ?? link.steel.replace(/_/g, " "))}
          </li>
        ))}
      </ul>
    </section>
  );
}

function GradeCell({ scale, stone }: { scale: PooledScale; stone: PooledStone }) {
  const grade = stone.grades.get(scale.scale);
  if (!grade || grade.n_trials === 0) return <span role="cell" class={styles.cell}>–</span>;
  return (
    <span role="cell" class={styles.cell}>
      <span class={styles.cellName} aria-hidden="true">{shortName(scale)}</span>
      <span class={styles.cellFigure}>
        {gradeText(grade.grade, 0.1)}
        <span class={styles.cellSpan}>{gradeText(grade.low90, 0.1)}–{gradeText(grade.high90, 0.1)}</span>
      </span>
      <GradeRuler
        scale={scale}
        size="row"
        grade={grade.grade}
        low90={grade.low90}
        high90={grade.high90}
        atEnd={grade.at_end}
        marks={grade.by_steel.map((s) => ({ at: s.grade, kind: "steel" as const }))}
        label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
      />
    </span>
  );
}

const Face = ({ stone }: { stone: Stone | undefined }) => (stone ? <StoneFace stone={drawnOf(stone)} size="row" label="" /> : null);

function Counts({ stone }: { stone: PooledStone }) {
  const grades = [...stone.grades.values()];
  const most = grades.reduce((a, b) => (b.n_trials > a.n_trials ? b : a), grades[0] ?? { n_trials: 0, n_testers: 0, n_steels: 0 });
  return <span class={styles.counts}>{say.counts(most.n_trials, most.n_testers, most.n_steels)}</span>;
}

function Flags({ flags }: { flags: readonly Flag[] }) {
  const lacking = flags.filter(hinders);
  const notes = flags.filter((flag) => !hinders(flag));
  return (
    <>
      {lacking.length === 0
        ? <span class={styles.ready}>{say.ready}</span>
        : <span class={styles.flags}>{lacking.map(flagWords).join("; ")}</span>}
      {notes.length > 0 && <span class={styles.notes}>{notes.map(flagWords).join("; ")}</span>}
    </>
  );
}

function flagWords(flag: Flag): string {
  switch (flag.kind) {
    case "untried": return say.flags.untried;
    case "testers": return say.flags.testers(flag.n, flag.min);
    case "steels": return say.flags.steels(flag.n, flag.min);
    case "wide": return say.flags.wide(flag.scale);
    case "end_low": return say.flags.end_low(flag.scale);
    case "end_high": return say.flags.end_high(flag.scale);
    case "group": return say.flags.group;
    case "signs": return say.flags.signs(flag.scale, gradeText(flag.foretold, 0.1));
  }
}

/** How many stones are ready, and which are not, with what each lacks. */
function Readiness(props: { stones: readonly PooledStone[]; codeOf: (id: string) => string; onChoose: (id: string) => void }) {
  const tried = props.stones.filter((stone) => !stone.flags.some((flag) => flag.kind === "untried"));
  const lacking = ordered(tried.filter((stone) => !isReady(stone)), "flags", props.codeOf);
  return (
    <section class="stack">
      <h2>{say.readiness(tried.length - lacking.length, tried.length)}</h2>
      <ul class={styles.lacking}>
        {lacking.slice(0, lackingShown).map((stone) => (
          <li key={stone.stone_id}>
            <button type="button" class={styles.lackingRow} onClick={() => props.onChoose(stone.stone_id)}>
              <strong class="figures">{props.codeOf(stone.stone_id)}</strong>
              <Flags flags={stone.flags} />
            </button>
          </li>
        ))}
      </ul>
      {lacking.length > lackingShown && <p class="note">{say.lackingMore(lacking.length - lackingShown)}</p>}
    </section>
  );
}

function Chosen(props: { stone: PooledStone; record: Stone | undefined; scales: readonly PooledScale[]; code: string }) {
  return (
    <article class="sheet">
      <header class={styles.chosenHead}>
        <Face stone={props.record} />
        <h2>{props.code}</h2>
      </header>
      {props.scales.map((scale) => {
        const grade = props.stone.grades.get(scale.scale);
        return grade && (
          <div key={scale.scale} class={styles.chosenScale}>
            <span>{scale.name}</span>
            <strong class="figures">{gradeText(grade.grade, 0.1)}</strong>
            <GradeRuler
              scale={scale}
              size="page"
              grade={grade.grade}
              low90={grade.low90}
              high90={grade.high90}
              atEnd={grade.at_end}
              marks={grade.by_steel.map((s) => ({ at: s.grade, kind: "steel" as const }))}
              label={sayRuler.pooled(scale.name, grade.grade, grade.low90, grade.high90)}
            />
          </div>
        );
      })}
      <p><Counts stone={props.stone} /></p>
      <p class="stack"><Flags flags={props.stone.flags} /></p>
      <a class="button button-main" href={`/stones/${props.stone.stone_id}`}>{say.open(props.code)}</a>
    </article>
  );
}
