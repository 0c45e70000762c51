import { useLocation } from "preact-iso";
import { useRef, useState } from "preact/hooks";
import type { Face, Finding, FindingKind, Stone } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { NumberField, TextField } from "../../parts/Fields";
import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { asksForWork, UrgencySign } from "../../parts/VerdictCard";
import { readAll, readOne, readRuleSet } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { newId, saveRecord } from "../../sync/commands";
import { change as sayChange } from "../../words/change";
import { inspect as say } from "../../words/inspect";
import { faces, findingKinds, mm } from "../../words/trade";
import { latestByFace } from "../Stones/state";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { ChangeInspection } from "./Change";
import { readChanged, toChangedInspection } from "./changed";
import { carriedFindings, changeFinding, newFinding, photosOf, readInspectionDraft, toInspection, unplaced, type InspectionDraft } from "./draft";
import { FindingEditor } from "./FindingEditor";
import { FindingGlyph } from "./FindingGlyph";
import { Flat } from "./Flat";
import { Sound, Water } from "./Measures";
import { Traced } from "./Traced";
import { useVerdicts, type Answer } from "./useVerdicts";
import { Verdicts } from "./Verdicts";
import styles from "./style.module.css";

const kindsToAdd: readonly FindingKind[] = ["fissure", "inclusion", "line", "chip", "soft_spot", "stain"];

/** One inspection of one face: what is seen, probed and measured, and at once what the rules make of it. */
export function Inspect({ id }: { readonly id: string }) {
  const { query } = useLocation();
  const bench = useLive(() => readBench(id), [id]);
  if (bench === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { stone } = bench;
  if (stone === null) return <Page><p>{say.noStone}</p></Page>;
  const change = query["change"];
  if (change === undefined) return <NewInspection key={id} bench={bench} stone={stone} />;
  return (
    <ChangeInspection key={change} stone={stone} inspectionId={change}>
      {(form) => <Form stone={stone} bench={bench} form={form} />}
    </ChangeInspection>
  );
}

function NewInspection({ bench, stone }: { bench: BenchData; stone: Stone }) {
  const form = useDraftForm({ key: `inspection:${stone.id}`, kind: "inspection", about_id: stone.id });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <Form stone={stone} bench={bench} form={form} />;
}

async function readBench(id: string) {
  const [stone, inspections, ruleSet] = await Promise.all([
    readOne("stone", id), readAll("inspection", { where: { stone_id: id } }), readRuleSet(),
  ]);
  return {
    stone: stone?.record ?? null,
    latest: latestByFace(inspections.map(({ record }) => record)),
    rules: ruleSet?.record.rules ?? null,
  };
}
type BenchData = Awaited<ReturnType<typeof readBench>>;

function Form({ stone, bench, form }: { stone: Stone; bench: BenchData; form: DraftForm }) {
  const draft = readInspectionDraft(form.values);
  const changed = readChanged(form.values);
  const answer = useVerdicts(stone, draft, bench.rules);
  const seen = useRef<HTMLElement>(null);
  const [tracing, setTracing] = useState<string | null>(null);
  const [saving, setSaving] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  const [saved, setSaved] = useState<{ id: string; face: Face } | null>(null);

  if (saved !== null) {
    return (
      <Saved
        stone={stone}
        saved={saved}
        changed={changed !== null}
        onOther={() => {
          form.set({ face: saved.face === "front" ? "back" : "front" });
          setSaved(null);
        }}
      />
    );
  }

  const last = bench.latest[draft.face];
  const open = unplaced(draft);
  const verdicts = answer.kind === "assessed" ? answer.assessment.verdicts : [];
  const needsHand = new Set(verdicts.flatMap((v) => (v.finding_id !== null && asksForWork(v.urgency) ? [v.finding_id] : [])));
  const setFindings = (findings: readonly Finding[]): void => form.set({ findings });
  const number = (findingId: string): number => draft.findings.findIndex((f) => f.id === findingId) + 1;

  const finish = async (): Promise<void> => {
    setSaving(true);
    setFailed(null);
    try {
      // A form left untouched has no draft yet; "nothing to be seen" is a finding worth keeping too.
      form.set({ face: draft.face });
      const kept = await form.settled();
      if (kept === null) throw new Error(form.trouble ?? "");
      const record = changed === null
        ? toInspection(draft, stone, new Date().toISOString(), photosOf(form.values))
        : toChangedInspection(form.values, changed, stone);
      await saveRecord("inspection", kept.record_id, record, changed?.base ?? null, { draft: kept.key, madeOn: changed?.made_on ?? null });
      setSaved({ id: kept.record_id, face: draft.face });
      form.clear();
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    } finally {
      setSaving(false);
    }
  };

  return (
    <Page
      flow
      wide
      actions={
        <>
          <button type="button" class={`button ${styles.summary}`} onClick={() => seen.current?.scrollIntoView()}>
            <Summary answer={answer} />
          </button>
          <button
            type="button"
            class="button button-main"
            disabled={saving || open.length > 0 || (changed !== null && form.draft === null)}
            onClick={() => void finish()}
          >
            {saving ? say.saving : changed === null ? say.finish : form.draft === null ? sayChange.nothingYet : sayChange.save}
          </button>
        </>
      }
    >
      <Head back={{ href: `/stones/${stone.id}`, words: say.back(stone.code) }} title={changed === null ? say.title(stone.code) : sayChange.inspectionTitle(stone.code)}>
        <p class="soft">{changed === null ? say.lead : sayChange.inspectionLead}</p>
      </Head>

      <div class={styles.columns}>
        <div class={styles.column}>
          <FaceAndThickness stone={stone} draft={draft} form={form} />
          <section class="stack">
            <h2>{say.findings}</h2>
            <Traced stone={stone} draft={draft} form={form} needsHand={needsHand} tracing={tracing} onPick={setTracing} />
            {draft.findings.map((finding) => finding.id === tracing && (
              <FindingEditor
                key={finding.id}
                finding={finding}
                number={number(finding.id)}
                thickness_mm={draft.thickness_mm ?? stone.thickness_mm}
                onChange={(change) => setFindings(changeFinding(draft.findings, finding.id, change))}
                onDone={() => setTracing(null)}
                onRemove={() => {
                  setFindings(draft.findings.filter((f) => f.id !== finding.id));
                  setTracing(null);
                }}
              />
            ))}
            {tracing === null && (
              <>
                {draft.findings.length > 0 && (
                  <ul class={styles.list}>
                    {draft.findings.map((finding) => (
                      <li key={finding.id}>
                        <button type="button" class="button" onClick={() => setTracing(finding.id)}>
                          <FindingGlyph kind={finding.kind} /> {say.n(number(finding.id), findingKinds[finding.kind])}
                        </button>
                      </li>
                    ))}
                  </ul>
                )}
                {draft.findings.length === 0 && last !== undefined && last.findings.length > 0 && (
                  <button type="button" class="button" onClick={() => setFindings(carriedFindings(last, newId))}>
                    {say.carry(last.findings.length)}
                  </button>
                )}
                <h3>{say.add}</h3>
                <div class={styles.kinds}>
                  {kindsToAdd.map((kind) => (
                    <button
                      key={kind}
                      type="button"
                      class="button"
                      onClick={() => {
                        const finding = newFinding(newId(), kind);
                        setFindings([...draft.findings, finding]);
                        setTracing(finding.id);
                      }}
                    >
                      <FindingGlyph kind={kind} /> {findingKinds[kind]}
                    </button>
                  ))}
                </div>
              </>
            )}
            {open.length > 0 && tracing === null && (
              <p class="sheet needs-you">{say.unplaced(open.map((f) => say.n(number(f.id), findingKinds[f.kind])).join(", "))}</p>
            )}
          </section>
        </div>

        <div class={styles.column}>
          <Water draft={draft} form={form} />
          <Sound draft={draft} form={form} />
          <Flat stone={stone} draft={draft} form={form} />
          <TextField name={say.notes} value={draft.notes} onSet={(notes) => form.set({ notes: notes === "" ? undefined : notes })} />
        </div>
      </div>

      <section class="stack" ref={seen}>
        <h2>{say.verdicts}</h2>
        <Verdicts answer={answer} number={number} begun={form.draft !== null} />
      </section>
      {failed !== null && <p class="sheet needs-you" role="alert">{say.failed(failed)}</p>}
      {form.trouble !== null && <p class="sheet needs-you" role="alert">{say.notKept(form.trouble)}</p>}
      {form.draft !== null && <Drop form={form} changing={changed !== null} />}
    </Page>
  );
}

function Summary({ answer }: { answer: Answer }) {
  const verdicts = answer.kind === "assessed" ? answer.assessment.verdicts : [];
  const most = verdicts[0];
  return (
    <>
      {most && <UrgencySign urgency={most.urgency} small />}
      <span>{most ? `${most.verdict.charAt(0).toUpperCase()}${most.verdict.slice(1)}` : say.count(0)}</span>
      {/* What is seen stays part of the name, so that it can be spoken to the phone (WCAG 2.5.3). */}
      {most && <span class="visually-hidden">{say.toVerdicts(verdicts.length)}</span>}
    </>
  );
}

function FaceAndThickness({ stone, draft, form }: { stone: Stone; draft: InspectionDraft; form: DraftForm }) {
  return (
    <div class={styles.pairs}>
      <Choice
        name={say.face}
        lay="strip"
        options={(["front", "back"] as const).map((value) => ({ value, words: faces[value] }))}
        value={draft.face}
        onChoose={(face) => form.set({ face })}
      />
      <NumberField
        name={say.thickness}
        unit="mm"
        low={0.5}
        high={500}
        help={say.thicknessWas(mm(stone.thickness_mm))}
        value={draft.thickness_mm}
        onSet={(thickness_mm) => form.set({ thickness_mm: thickness_mm ?? undefined })}
      />
    </div>
  );
}

function Drop({ form, changing }: { form: DraftForm; changing: boolean }) {
  const [sure, setSure] = useState(false);
  if (!sure) {
    return <button type="button" class="button button-plain" onClick={() => setSure(true)}>{changing ? sayChange.drop : say.drop_draft}</button>;
  }
  return (
    <div class="sheet needs-you">
      <p>{changing ? sayChange.sureDrop : say.sureDrop}</p>
      <div class="row">
        <button type="button" class="button" onClick={() => setSure(false)}>{say.keepIt}</button>
        <button type="button" class="button button-hand" onClick={() => void form.drop().then(() => setSure(false))}>{say.dropIt}</button>
      </div>
    </div>
  );
}

function Saved(props: { stone: Stone; saved: { id: string; face: Face }; changed: boolean; onOther: () => void }) {
  const seen = useLive(() => readOne("inspection", props.saved.id), [props.saved.id]);
  return (
    <Page
      flow
      actions={
        <>
          {!props.changed && <button type="button" class="button" onClick={props.onOther}>{say.otherFace}</button>}
          <a class="button button-main" href={`/stones/${props.stone.id}`}>{say.toStone}</a>
        </>
      }
    >
      <Head title={props.changed ? sayChange.saved : say.saved}>
        <p><strong>{props.stone.code}</strong> {faces[props.saved.face].toLowerCase()}</p>
        {seen && <StateBadge state={seen.state} />}
        <p>{props.changed ? sayChange.savedLead : say.savedLead}</p>
      </Head>
    </Page>
  );
}

