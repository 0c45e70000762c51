import { useState } from "preact/hooks";
import type { Inspection } from "../../domain/records";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { StateBadge } from "../../parts/StateBadge";
import type { Seen } from "../../store/catalogue";
import { change as sayChange } from "../../words/change";
import { stone as say } from "../../words/stone";
import { day, faces } from "../../words/trade";
import { AskWithdraw } from "./AskWithdraw";
import type { OwnTrial, StonePage } from "./readStone";
import rows from "./own.module.css";
import styles from "./style.module.css";

export function OwnTrials({ page }: { page: StonePage }) {
  return (
    <section class="stack">
      <h2>{say.ownTrials}</h2>
      {page.ownTrials.length === 0 && <p class="soft">{say.noOwn}</p>}
      {page.ownTrials.map((trial) => <OwnTrialRow key={trial.record.id} trial={trial} page={page} />)}
      {page.withdrawnTrials.map((trial) => (
        <p key={trial.id} class="note">
          {page.blades.get(trial.blade_id)?.name ?? say.noBlade}, {day(trial.finished_at)}. {sayChange.withdrawn(trial.withdrawn?.reason ?? "")}
        </p>
      ))}
    </section>
  );
}

function OwnTrialRow({ trial, page }: { trial: OwnTrial; page: StonePage }) {
  const { record, state, problem } = trial;
  const protocol = page.protocols.find((p) => p.id === record.protocol_id);
  return (
    <article class={`sheet ${state === "needs_you" ? "needs-you" : ""}`}>
      <div class="spread">
        <h3>{page.blades.get(record.blade_id)?.name ?? say.noBlade}</h3>
        <StateBadge state={state} />
      </div>
      <dl class={styles.grades}>
        {Object.entries(record.grades).map(([scale, grade]) => (
          <div key={scale}>
            <dt>{protocol?.scales.find((s) => s.id === scale)?.name ?? scale}</dt>
            <dd>{gradeText(grade)}</dd>
          </div>
        ))}
      </dl>
      <p class="note">{day(record.finished_at)}</p>
      <Trouble seen={trial} />
      {problem && state === "needs_you" && !isChoice(problem.code) && (
        <p>{[problem.detail || problem.title, ...problem.errors.map((error) => error.message)].join(" ")}</p>
      )}
      {record.excluded && <p>{say.leftOut(record.excluded.reason)}</p>}
      <Ways
        thing="trial"
        id={record.id}
        href={`/stones/${record.stone_id}/trial?change=${record.id}`}
        begun={page.changing.has(record.id)}
      />
    </article>
  );
}

const isChoice = (code: string): boolean => code === "precondition_failed" || code === "precondition_missing";

/** Two versions of the record stand against each other; they are compared on the bench. */
function Trouble({ seen }: { seen: Seen<"trial"> | Seen<"inspection"> }) {
  if (seen.state !== "needs_you" || seen.problem === null || !isChoice(seen.problem.code)) return null;
  return <a class="button button-hand" href="/">{sayChange.compare}</a>;
}

/** What its author may do with a record. */
function Ways(props: { thing: "trial" | "inspection"; id: string; href: string; begun: boolean }) {
  const [asking, setAsking] = useState(false);
  if (asking) return <AskWithdraw thing={props.thing} id={props.id} onDone={() => setAsking(false)} />;
  return (
    <div class={rows.ways}>
      <a class="button" href={props.href}>{props.begun ? sayChange.goOn : sayChange.it}</a>
      <button type="button" class="button button-plain" onClick={() => setAsking(true)}>{sayChange.withdraw}</button>
    </div>
  );
}

const shownInspections = 3;

/** Who looked at the stone and when; one's own can be changed. */
export function Inspections({ page }: { page: StonePage }) {
  const [all, setAll] = useState(false);
  if (page.seenInspections.length === 0) return null;
  const shown = all ? page.seenInspections : page.seenInspections.slice(0, shownInspections);
  return (
    <section class="stack">
      <h2>{say.inspections}</h2>
      <ul class={rows.looks}>
        {shown.map((seen) => <InspectionRow key={seen.record.id} seen={seen} page={page} />)}
      </ul>
      {shown.length < page.seenInspections.length && (
        <button type="button" class="button" onClick={() => setAll(true)}>{say.allInspections(page.seenInspections.length)}</button>
      )}
    </section>
  );
}

function InspectionRow({ seen, page }: { seen: Seen<"inspection">; page: StonePage }) {
  const { record, state } = seen;
  const own = record.created_by === page.member;
  return (
    <li class={rows.look}>
      <div class="spread">
        <span><strong>{faces[record.face]}</strong>, {day(record.inspected_at)}</span>
        {own ? <StateBadge state={state} /> : <span class="soft">{page.names.get(record.created_by ?? "") ?? ""}</span>}
      </div>
      <p class="note">{toldOf(record)}</p>
      {own && <Trouble seen={seen} />}
      {own && (
        <Ways
          thing="inspection"
          id={record.id}
          href={`/stones/${record.stone_id}/inspect?change=${record.id}`}
          begun={page.changing.has(record.id)}
        />
      )}
    </li>
  );
}

function toldOf(inspection: Inspection): string {
  return [
    say.findings(inspection.findings.length),
    inspection.thickness_mm === null ? null : say.thick(inspection.thickness_mm),
    inspection.flatness === null ? null : say.readFlat,
  ].filter((part) => part !== null).join(", ");
}
