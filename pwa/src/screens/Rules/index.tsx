import { useState } from "preact/hooks";
import type { Rule, RuleSet, Stone } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { readAll, readRuleSet, readSession, type Seen } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { saveRecord } from "../../sync/commands";
import { previewRules, type RulesPreview, type View } from "../../sync/views";
import { rules as say } from "../../words/rules";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { Clash } from "./Clash";
import { Effect } from "./Effect";
import { OneRule } from "./OneRule";
import { changedRules } from "./thresholds";
import { Versions } from "./Versions";
import styles from "./style.module.css";

async function readRules() {
  const [ruleSet, session, stones, members] = await Promise.all([
    readRuleSet(), readSession(), readAll("stone"), readAll("member", { withdrawn: true }),
  ]);
  return {
    ruleSet,
    mayChange: session?.member.roles.includes("steward") ?? false,
    stones: new Map<string, Stone>(stones.map(({ record }) => [record.id, record])),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
  };
}
type RulesView = Awaited<ReturnType<typeof readRules>>;

/** The club's rules in words. A steward changes their thresholds here, after seeing what that does to the stones. */
export function Rules() {
  const view = useLive(readRules, []);
  if (view === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (view.ruleSet === null) return <Page><Head back={{ href: "/me", words: say.back }} title={say.title}><p>{say.none}</p></Head></Page>;
  return <Form key={view.ruleSet.record.id} view={view} seen={view.ruleSet} />;
}

function Form({ view, seen }: { view: RulesView; seen: Seen<"rule_set"> }) {
  const { record } = seen;
  const form = useDraftForm({ key: `rules:${record.id}`, kind: "rule_set", about_id: record.id });
  const [effect, setEffect] = useState<{ answer: View<RulesPreview>; of: string } | null>(null);
  const [busy, setBusy] = useState<"asking" | "saving" | null>(null);
  const [said, setSaid] = useState<{ kind: "saved" } | { kind: "failed"; why: string } | null>(null);
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;

  const { rules, nChanged, missing } = changedRules(record.rules, form.values);
  const shape = JSON.stringify(rules.map((rule) => rule.parameters.map((p) => p.value)));

  const ask = async (): Promise<void> => {
    setBusy("asking");
    setEffect({ answer: await previewRules(rules), of: shape });
    setBusy(null);
  };
  const save = async (): Promise<void> => {
    setBusy("saving");
    try {
      await form.settled();
      await saveRecord("rule_set", record.id, { name: record.name, rules }, record.version, { draft: `rules:${record.id}` });
      form.clear();
      setEffect(null);
      setSaid({ kind: "saved" });
    } catch (error) {
      setSaid({ kind: "failed", why: error instanceof Error ? error.message : String(error) });
    }
    setBusy(null);
  };
  const putBack = async (): Promise<void> => {
    await form.drop();
    setEffect(null);
  };

  const changing = view.mayChange && (nChanged > 0 || missing);
  return (
    <Page
      wide
      actions={changing ? (
        <>
          <button type="button" class="button" disabled={busy !== null || missing || nChanged === 0} onClick={() => void ask()}>
            {busy === "asking" ? say.asking : say.effect}
          </button>
          <button type="button" class="button button-main" disabled={busy !== null || missing || nChanged === 0} onClick={() => void save()}>
            {busy === "saving" ? say.saving : say.save}
          </button>
        </>
      ) : undefined}
    >
      <Head back={{ href: "/me", words: say.back }} title={say.title}>
        <p class="soft">{say.lead}</p>
        <p class="row"><span class="note">{say.version(record.version)}</span> {seen.state !== "sent" && <StateBadge state={seen.state} />}</p>
        {!view.mayChange && <p>{say.onlySteward}</p>}
      </Head>
      <div role="status">
        {said?.kind === "saved" && !changing && seen.state !== "needs_you" && <p class="sheet">{say.saved}</p>}
        {said?.kind === "failed" && <p class="sheet needs-you">{say.notSaved(said.why)}</p>}
        {form.trouble !== null && <p class="sheet needs-you">{say.notKept(form.trouble)}</p>}
        {seen.state === "needs_you" && seen.problem && !seen.problem.code.startsWith("precondition") && (
          <p class="sheet needs-you">{seen.problem.detail || seen.problem.title}</p>
        )}
      </div>
      <Clash id={record.id} names={view.names} />
      {changing && (
        <div class="spread">
          <p><strong>{missing ? say.missing : say.changed(nChanged)}</strong></p>
          <button type="button" class="button button-plain" onClick={() => void putBack()}>{say.drop}</button>
        </div>
      )}
      {effect !== null && changing && <Effect answer={effect.answer} stale={effect.of !== shape} stones={view.stones} />}
      {(["finding", "inspection", "stone"] as const).map((group) => (
        <Group key={group} name={say.groups[group]} rules={record.rules.filter((rule) => rule.applies_to === group)} form={form} mayChange={view.mayChange} />
      ))}
      <Earlier record={record} names={view.names} />
    </Page>
  );
}

function Group(props: { name: string; rules: readonly Rule[]; form: DraftForm; mayChange: boolean }) {
  const { form, mayChange } = props;
  const set = props.rules.filter((rule) => rule.parameters.length > 0);
  const plain = props.rules.filter((rule) => rule.parameters.length === 0);
  return (
    <section class="stack">
      <h2>{props.name}</h2>
      <div class={styles.rules}>{set.map((rule) => <OneRule key={rule.id} rule={rule} form={form} mayChange={mayChange} />)}</div>
      {plain.length > 0 && (
        <details>
          <summary class={styles.more}>{say.plain(plain.length)}</summary>
          <div class={styles.rules}>{plain.map((rule) => <OneRule key={rule.id} rule={rule} form={form} mayChange={mayChange} />)}</div>
        </details>
      )}
    </section>
  );
}

function Earlier({ record, names }: { record: RuleSet; names: ReadonlyMap<string, string> }) {
  const [open, setOpen] = useState(false);
  return (
    <section class="stack">
      <h2>{say.versions}</h2>
      {open
        ? <Versions id={record.id} current={record.version} names={names} />
        : <button type="button" class={`button ${styles.show}`} onClick={() => setOpen(true)}>{say.showVersions}</button>}
    </section>
  );
}
