import { useState } from "preact/hooks";
import type { MovedSlip } from "../../domain/publishing";
import type { Slip } from "../../domain/records";
import { gradeText } from "../../parts/GradeRuler/geometry";
import type { Seen } from "../../store/catalogue";
import { verdict as sayVerdict } from "../../words/parts";
import { publish as say } from "../../words/publish";
import { day, faces, mm } from "../../words/trade";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { AskWithdraw } from "../Stone/AskWithdraw";
import type { PublishView } from "./read";
import { Rulers } from "./Rulers";
import styles from "./style.module.css";

/** The address behind a slip's code. */
export const pageOf = (slip: Pick<Slip, "code">): string => `/s/${slip.code}`;
const pdfOf = (slip: Pick<Slip, "code">, paper: "a4" | "letter"): string => `/s/${slip.code}.pdf?paper=${paper}`;

/** "Hardness was 3.5, is 4.1 now." for each scale that moved. */
export const movedWords = (slip: Slip, moved: readonly MovedSlip[]): string[] =>
  moved.filter((one) => one.slip_id === slip.id).map((one) =>
    say.moved(slip.grades.find((grade) => grade.scale === one.scale)?.name ?? one.scale, gradeText(one.published, 0.1), gradeText(one.now, 0.1)));

/** The slip that stands: its code, where to read it, and what was fixed. */
export function Issued(props: { readonly slip: Seen<"slip">; readonly moved: readonly MovedSlip[]; readonly page: PublishView }) {
  const { record } = props.slip;
  const moved = movedWords(record, props.moved);
  return (
    <article class="stack">
      <div class={`sheet ${styles.issued}`}>
        <p class="soft">{say.issued(day(record.issued_on))}. {say.code}</p>
        <p class={styles.code}>{record.code}</p>
        <div class={styles.links}>
          <a class="button" href={pageOf(record)} target="_blank" rel="noopener">{say.page}</a>
          <a class="button" href={pdfOf(record, "a4")} target="_blank" rel="noopener">{say.pdf.a4}</a>
          <a class="button" href={pdfOf(record, "letter")} target="_blank" rel="noopener">{say.pdf.letter}</a>
        </div>
        <p class="note">{say.pageHelp}</p>
      </div>
      {moved.length > 0 && (
        <div class="sheet needs-you">
          <h2>{say.movedTitle}</h2>
          {moved.map((words) => <p key={words}>{words}</p>)}
          <p class="soft">{say.movedLead}</p>
        </div>
      )}
      <details open>
        <summary class={styles.more}><h2>{say.asPublished}</h2></summary>
        <Fixed record={record} page={props.page} />
      </details>
      <Withdraw slip={props.slip} />
    </article>
  );
}

function Fixed({ record, page }: { readonly record: Slip; readonly page: PublishView }) {
  const { stone, evidence } = record;
  return (
    <div class={styles.columns}>
      <Rulers grades={inProtocolOrder(record.grades, page.protocols.filter((protocol) => protocol.purpose === record.purpose))} />
      <div class="stack">
        {record.override_reason !== null && <p><strong>{say.overridden(record.override_reason)}</strong></p>}
        {stone && <p>{say.fixedStone(faces[stone.face], mm(stone.thickness_mm))}.</p>}
        {evidence && (
          <>
            <p class="figures">{say.evidence(evidence.n_trials, evidence.n_testers, evidence.n_steels)}.</p>
            <p>{say.steels(evidence.steels)}.</p>
            {evidence.tester_ids !== undefined && <Testers ids={evidence.tester_ids} page={page} />}
            {evidence.inspected !== undefined && (
              <p>{evidence.inspected === null ? say.neverInspected : say.inspected(day(evidence.inspected.at))}</p>
            )}
            {(evidence.signs_note ?? "") !== "" && <p>{evidence.signs_note}</p>}
            {evidence.level_note !== "" && <p class="soft">{evidence.level_note}</p>}
          </>
        )}
        {record.findings.length > 0 && <h3>{say.told}</h3>}
        {record.findings.map((finding, i) => <p key={i}><strong>{sayVerdict.named(finding.verdict)}.</strong> {finding.because}</p>)}
        {record.care.length > 0 && (
          <>
            <h3>{say.care}</h3>
            <ul class={styles.care}>{record.care.map((advice) => <li key={advice}>{advice}</li>)}</ul>
          </>
        )}
        {record.notes !== "" && <p>{say.ownNotes(record.notes)}</p>}
        <p class="note">{say.method(record.method_version, record.pool_revision)}</p>
      </div>
    </div>
  );
}

/** With whose trials, and who of them the public page names at this moment. */
function Testers({ ids, page }: { readonly ids: readonly string[]; readonly page: PublishView }) {
  const nameOf = (id: string): string => page.names.get(id) ?? "?";
  return (
    <p>
      {say.testers(ids.map(nameOf).sort((a, b) => a.localeCompare(b)))}{" "}
      <span class="soft">{say.named(ids.filter((id) => page.agreed.has(id)).map(nameOf).sort((a, b) => a.localeCompare(b)))}</span>
    </p>
  );
}

/** Withdrawing one slip, with a reason. */
export function Withdraw({ slip }: { readonly slip: Seen<"slip"> }) {
  const [asking, setAsking] = useState(false);
  if (slip.record.withdrawn !== null) return null;
  return asking
    ? <AskWithdraw thing="slip" id={slip.record.id} help={say.withdrawHelp} onDone={() => setAsking(false)} />
    : <p><button type="button" class={`button button-plain ${styles.flush}`} onClick={() => setAsking(true)}>{say.withdraw}</button></p>;
}
