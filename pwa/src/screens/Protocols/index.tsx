import type { Protocol as ProtocolRecord, ProtocolStep } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { clockText } from "../../parts/Timing/clock";
import { Caution } from "../../parts/VerdictCard";
import { readAll, readOne } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { protocols as say } from "../../words/protocols";
import { purposes } from "../../words/trade";
import styles from "./style.module.css";

/** All protocols of the club. */
export function Protocols() {
  const all = useLive(() => readAll("protocol"), []);
  const order = Object.keys(purposes);
  const sorted = [...(all ?? [])].sort((a, b) =>
    order.indexOf(a.record.purpose) - order.indexOf(b.record.purpose) || a.record.name.localeCompare(b.record.name));
  return (
    <div class="page">
      <h1>{say.title}</h1>
      <p class="soft">{say.lead}</p>
      {all === undefined && <p class="soft">{say.reading}</p>}
      {all?.length === 0 && <p>{say.none}</p>}
      <ul class={styles.list}>
        {sorted.map(({ record }) => (
          <li key={record.id}>
            <a class={styles.item} href={`/protocols/${record.id}`}>
              <span class={styles.purpose}>{purposes[record.purpose]}</span>
              <span class={styles.name}>{record.name}</span>
              <span class="note">{say.counts(record.steps.length, record.scales.length)}, {say.version(record.version)}</span>
            </a>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** One protocol, to read through before the hands are wet. */
export function Protocol({ id }: { readonly id: string }) {
  const page = useLive(async () => {
    const [protocol, blades] = await Promise.all([readOne("protocol", id), readAll("blade")]);
    return { protocol: protocol?.record ?? null, steels: new Map(blades.map(({ record }) => [record.steel, record.steel_name])) };
  }, [id]);
  if (page === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { protocol, steels } = page;
  if (protocol === null) {
    return <Page><Head back={{ href: "/protocols", words: say.back }} title={say.title} /><p>{say.noProtocol}</p></Page>;
  }
  const sheet = (paper: "a4" | "letter"): string => `/api/v1/protocols/${id}/sheet.pdf?paper=${paper}`;
  return (
    <Page
      actions={
        <>
          <a class="button" href={sheet("letter")} target="_blank" rel="noopener">{say.sheetLetter}</a>
          <a class="button button-main" href={sheet("a4")} target="_blank" rel="noopener">{say.sheetA4}</a>
        </>
      }
    >
      <Head back={{ href: "/protocols", words: say.back }} title={protocol.name}>
        <p class="soft">{purposes[protocol.purpose]}, {say.version(protocol.version)}</p>
      </Head>
      <p>{protocol.summary}</p>
      {protocol.reference_steels.length > 0 && (
        <section class="stack">
          <h2>{say.reference}</h2>
          <p>{protocol.reference_steels.map((steel) => steels.get(steel) ?? steel.replace(/_/g, " ")).join(", ")}</p>
        </section>
      )}
      <section class="stack">
        <h2>{say.cautions}</h2>
        {protocol.cautions.map((caution) => <Caution key={caution.id} text={caution.text} />)}
      </section>
      <section class="stack">
        <h2>{say.steps}</h2>
        <ol class={styles.steps}>
          {protocol.steps.map((step) => <StepText key={step.id} step={step} protocol={protocol} />)}
        </ol>
      </section>
      <section class="stack">
        <h2>{say.scales}</h2>
        {protocol.scales.map((scale) => (
          <article key={scale.id} class="sheet">
            <h3>{scale.name}</h3>
            <dl class={styles.levels}>
              {Object.entries(scale.words).sort(([a], [b]) => Number(a) - Number(b)).map(([level, words]) => (
                <div key={level}>
                  <dt>{level}</dt>
                  <dd>{words}</dd>
                </div>
              ))}
            </dl>
          </article>
        ))}
      </section>
      <section class="stack">
        <h2>{say.observations}</h2>
        <dl class={styles.observations}>
          {protocol.observations.map((asked) => (
            <div key={asked.id}>
              <dt>{asked.name}{asked.required ? ` (${say.needed})` : ""}</dt>
              <dd>
                {asked.help}
                {asked.choices.length > 0 && <span class={styles.choices}>{asked.choices.map((choice) => choice.words).join(" · ")}</span>}
              </dd>
            </div>
          ))}
        </dl>
      </section>
      <p class="note">{say.sheetHint}</p>
    </Page>
  );
}

function StepText({ step, protocol }: { step: ProtocolStep; protocol: ProtocolRecord }) {
  const names = step.records.map((id) =>
    protocol.observations.find((o) => o.id === id)?.name ?? protocol.scales.find((s) => s.id === id)?.name ?? id);
  return (
    <li class={styles.step}>
      <h3>{step.title}</h3>
      <p>{step.text}</p>
      {step.conditions.length > 0 && (
        <dl class={styles.conditions}>
          {step.conditions.map((condition) => (
            <div key={condition.name}>
              <dt>{condition.name}</dt>
              <dd>{condition.value}</dd>
            </div>
          ))}
        </dl>
      )}
      {step.timer_s !== null && <p class="note">{say.timer(clockText(step.timer_s))}</p>}
      {step.counter && <p class="note">{say.counter(step.counter.target, step.counter.name)}</p>}
      {names.length > 0 && <p class="note">{say.records(names.join(", "))}</p>}
    </li>
  );
}
