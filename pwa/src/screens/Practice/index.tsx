import { useEffect, useState } from "preact/hooks";
import { practiceKind } from "../../constants";
import { Head, Page } from "../../parts/Page";
import { readAll } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { letPracticePhotosGo } from "../../store/photos";
import { dropDraft, savePracticePhoto } from "../../sync/commands";
import { practice as say } from "../../words/practice";
import { readNext } from "../Bench/read";
import { PhotoKeeping } from "../photoKeeping";
import { readTrialDraft, type TrialDraft } from "../Trial/draft";
import { Flow, type BenchData, type Ending, type Finished } from "../Trial/Flow";
import { Lines } from "../Trial/Lines";
import { useDraftForm, type DraftForm } from "../useDraftForm";
import { practiceBlades, practiceStone } from "./invented";
import { tipAt } from "./tip";
import styles from "./style.module.css";

const key = "practice";

async function readBench(): Promise<BenchData> {
  const [protocols, blades] = await Promise.all([readAll("protocol"), readAll("blade")]);
  const own = protocols.map(({ record }) => record).sort((a, b) => a.name.localeCompare(b.name));
  // Without own trials every step is shown: practice is for somebody who does not know the protocol by heart.
  return { protocols: own, blades: practiceBlades(own, blades.map(({ record }) => record)), ownTrials: [], inspected: true, heldBack: [] };
}

/** A whole trial by the club's own protocol on an invented stone. It stays on this phone and becomes no record. */
export function Practice() {
  const bench = useLive(readBench, []);
  const form = useDraftForm({ key, kind: practiceKind, about_id: practiceStone.id });
  if (bench === undefined || form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return (
    <PhotoKeeping.Provider value={savePracticePhoto}>
      <Practising bench={bench} form={form} />
    </PhotoKeeping.Provider>
  );
}

/** Its photos are nobody's either, so they go with the draft. */
const photosOf = ({ photos, camera }: TrialDraft): string[] =>
  [...photos.map(({ sha256 }) => sha256), ...(camera.sha256 === null ? [] : [camera.sha256])];

function Practising({ bench, form }: { bench: BenchData; form: DraftForm }) {
  const draft = readTrialDraft(form.values);
  /** What was set, kept on the screen after the draft is gone. */
  const [done, setDone] = useState<TrialDraft | null>(null);
  const letGo = async (): Promise<void> => letPracticePhotosGo(photosOf(draft), key);

  const ending: Ending = {
    home: { href: "/guide", words: say.home },
    saveWords: say.finish,
    save: async (_, kept) => {
      setDone(readTrialDraft(kept.values));
      await letGo();
      await dropDraft(kept.key);
    },
    saved: (finished) => done !== null && <Done finished={finished} draft={done} bench={bench} />,
  };
  const withPhotos: DraftForm = {
    ...form,
    drop: async () => {
      await letGo();
      await form.drop();
    },
  };
  return (
    <div class={styles.practice}>
      <aside class={styles.mark} aria-label={say.mark}>
        <p><strong class={styles.word}>{say.mark}</strong> {say.invented}</p>
        {form.draft !== null && <p class={styles.tip}>{tipAt(draft)}</p>}
        {form.draft === null && done === null && <p class={styles.tip}>{say.tips.setup}</p>}
      </aside>
      <Flow stone={practiceStone} bench={bench} form={withPhotos} ending={ending} />
    </div>
  );
}

function Done({ finished, draft, bench }: { finished: Finished; draft: TrialDraft; bench: BenchData }) {
  const next = useLive(readNext, []);
  useEffect(() => window.scrollTo(0, 0), []);
  const first = next?.next[0];
  const { record, protocol, goOn } = finished;
  const count = (map: object): number => Object.keys(map).length;
  return (
    <Page
      flow
      actions={
        <>
          <button type="button" class="button" onClick={() => goOn(null)}>{say.again}</button>
          {first === undefined
            ? <a class="button button-main" href="/">{say.bench}</a>
            : (
              <a class="button button-main" href={`/stones/${first.stone.id}/${first.why === "inspect_first" ? "inspect" : "trial"}`}>
                {first.why === "inspect_first" ? say.inspect(first.stone.code) : say.real(first.stone.code)}
              </a>
            )}
        </>
      }
    >
      <Head title={say.done}><p>{say.nothingSent}</p></Head>
      <section class="stack">
        <h2>{say.would}</h2>
        <p class="soft">{say.took(count(record.observations), count(record.grades), record.photos.length)}</p>
        <Lines protocol={protocol} bladeName={bench.blades.find(({ id }) => id === draft.blade_id)?.name ?? ""} draft={draft} />
      </section>
      <section class="stack">
        <h2>{say.next}</h2>
        <ol class={styles.after}>{say.steps.map((step) => <li key={step}>{step}</li>)}</ol>
      </section>
    </Page>
  );
}
