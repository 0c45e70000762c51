import { useEffect, useRef, useState } from "preact/hooks";
import { Choice } from "../../parts/Choice";
import { GradeInput } from "../../parts/GradeRuler/Input";
import { Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { Caution } from "../../parts/VerdictCard";
import { readAll } from "../../store/catalogue";
import { useLive } from "../../store/live";
import type { GradeScale, Protocol } from "../../domain/records";
import { guide as say } from "../../words/guide";
import { bench as sayBench } from "../../words/bench";
import { readNext } from "../Bench/read";
import { BladeDrawing, SignalDrawing, TrialDrawing, WetDrawing } from "./Drawings";
import styles from "./style.module.css";

const pages = ["trial", "wet", "blade", "ruler", "signal"] as const;

/** The club's own words: cautions and scales of its protocols, knives first. */
async function readWords() {
  const protocols = (await readAll("protocol")).map(({ record }) => record);
  const order = ["knife", "plane_iron", "razor"];
  return protocols.sort((a, b) => order.indexOf(a.purpose) - order.indexOf(b.purpose))[0] ?? null;
}

const cautionOf = (protocol: Protocol | null, id: string, fallback: string): string =>
  protocol?.cautions.find((caution) => caution.id === id)?.text ?? fallback;

/** What somebody new needs before the first trial, in five pages; works without a signal. */
export function Guide() {
  const [at, setAt] = useState(0);
  const protocol = useLive(readWords, []);
  const next = useLive(readNext, []);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    window.scrollTo(0, 0);
    title.current?.focus({ preventScroll: true });
  }, [at]);
  if (protocol === undefined) return <Page><p class="soft">{say.reading}</p></Page>;

  const page = pages[at] ?? "trial";
  const first = next?.next[0];
  const inspects = first?.why === "inspect_first";
  const onward = page !== "signal"
    ? <button type="button" class={`button button-main ${styles.onward}`} onClick={() => setAt(at + 1)}>{say.next}</button>
    : first === undefined
      ? <a class={`button button-main ${styles.onward}`} href="/">{say.leave}</a>
      : (
        <a class={`button button-main ${styles.onward}`} href={`/stones/${first.stone.id}/${inspects ? "inspect" : "trial"}`}>
          {inspects ? say.signal.inspectIt(first.stone.code) : say.signal.tryIt(first.stone.code)}
        </a>
      );

  return (
    <Page
      flow
      actions={
        <>
          {at === 0
            ? <a class={`button ${styles.backward}`} href="/">{say.leave}</a>
            : <button type="button" class={`button ${styles.backward}`} onClick={() => setAt(at - 1)}>{say.back}</button>}
          {onward}
        </>
      }
    >
      <header class={styles.head}>
        <p class="soft">{say.title}</p>
        <p class="soft figures">{say.pageOf(at + 1, pages.length)}</p>
      </header>
      <h1 ref={title} tabIndex={-1} class={styles.title}>{say[page].title}</h1>
      {page === "trial" && (
        <>
          <TrialDrawing label={say.trial.drawing} />
          {say.trial.text.map((text) => <p key={text} class={styles.text}>{text}</p>)}
          <p><a class="button" href="/practice">{sayBench.practise}</a></p>
        </>
      )}
      {page === "wet" && (
        <>
          <WetDrawing label={say.wet.drawing} />
          {say.wet.text.map((text) => <p key={text} class={styles.text}>{text}</p>)}
          <Caution text={cautionOf(protocol, "silica_dust", say.wet.fallback)} />
        </>
      )}
      {page === "blade" && (
        <>
          <BladeDrawing label={say.blade.drawing} />
          {say.blade.text.map((text) => <p key={text} class={styles.text}>{text}</p>)}
          <Caution text={cautionOf(protocol, "blade", say.blade.fallback)} />
        </>
      )}
      {page === "ruler" && <TryRuler scales={protocol?.scales ?? []} />}
      {page === "signal" && (
        <>
          <SignalDrawing label={say.signal.drawing} />
          <p class={styles.text}>{say.signal.text}</p>
          <dl class={styles.signs}>
            {(["draft", "waiting", "sent", "needs_you"] as const).map((state) => (
              <div key={state}>
                <dt><StateBadge state={state} /></dt>
                <dd>{say.signal.signs[state]}</dd>
              </div>
            ))}
          </dl>
          <div class="sheet">
            <p>{sayBench.practiseLead}</p>
            <a class="button" href="/practice">{sayBench.practise}</a>
          </div>
          <p>
            {first === undefined ? say.signal.noStone : <>{say.signal.ready} <strong>{first.stone.code}</strong>. {inspects && say.signal.inspectFirst}</>}
          </p>
        </>
      )}
    </Page>
  );
}

function TryRuler({ scales }: { scales: readonly GradeScale[] }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [grades, setGrades] = useState<Readonly<Record<string, number>>>({});
  const scale = scales.find((one) => one.id === chosen) ?? scales[0];
  return (
    <>
      <p class={styles.text}>{say.ruler.text}</p>
      {scale === undefined && <p>{say.ruler.none}</p>}
      {scales.length > 1 && (
        <Choice
          name={say.ruler.which}
          hideName
          lay="strip"
          options={scales.map(({ id, name }) => ({ value: id, words: name }))}
          value={scale?.id ?? null}
          onChoose={setChosen}
        />
      )}
      {scale !== undefined && (
        <GradeInput
          key={scale.id}
          scale={scale}
          name={scale.name}
          words={scale.words}
          value={grades[scale.id] ?? null}
          onSet={(grade) => setGrades({ ...grades, [scale.id]: grade })}
        />
      )}
    </>
  );
}
