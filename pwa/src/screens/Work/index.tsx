import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { asksForWork } from "../../parts/VerdictCard";
import { useLive } from "../../store/live";
import { work as say } from "../../words/work";
import { faces } from "../../words/trade";
import { Answered } from "./Answered";
import { Item } from "./Item";
import { itemKey, itemsOf, type FaceWork, type StoneWork } from "./list";
import { readWork, type WorkView } from "./read";
import styles from "./style.module.css";

/** The repair list: what is open, most urgent first, by stone; and what was answered. `?stone=` narrows it to one. */
export function Work() {
  const { query } = useLocation();
  const stoneId = query["stone"] ?? null;
  const view = useLive(() => readWork(stoneId), [stoneId]);
  const [show, setShow] = useState<"open" | "answered">("open");
  if (view === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const stone = stoneId === null ? undefined : view.stones.get(stoneId);
  const items = itemsOf(view.work);
  return (
    <Page wide>
      <Head
        back={stone === undefined ? { href: "/", words: say.back } : { href: `/stones/${stone.id}`, words: say.toStone(stone.code) }}
        title={stone === undefined ? say.title : say.of(stone.code)}
      >
        <p class="soft">{stone === undefined && items.length > 0 ? say.countOf(items.length, view.work.length) : say.lead}</p>
        {stone !== undefined && <p><a href="/work">{say.whole}</a></p>}
      </Head>
      <Choice
        name={say.show}
        hideName
        lay="strip"
        options={[
          { value: "open" as const, words: say.todo(items.length) },
          { value: "answered" as const, words: say.doneList(view.repairs.length) },
        ]}
        value={show}
        onChoose={setShow}
      />
      {show === "open"
        ? <Open view={view} one={stone !== undefined} />
        : (
          <div class={styles.answered}>
            {view.repairs.length === 0 && <p>{say.noneDone}</p>}
            {view.repairs.map((seen) => <Answered key={seen.record.id} seen={seen} view={view} />)}
          </div>
        )}
    </Page>
  );
}

function Open({ view, one }: { view: WorkView; one: boolean }) {
  if (view.work.length === 0) return <p>{one ? say.noneHere : say.none}</p>;
  return (
    <div class={styles.stones}>
      {view.work.map((work) => <OneStone key={work.stone.id} work={work} mayDeal={view.mayDeal} />)}
    </div>
  );
}

function OneStone({ work, mayDeal }: { work: StoneWork; mayDeal: boolean }) {
  const { stone } = work;
  const count = work.faces.reduce((sum, face) => sum + face.items.length, 0);
  return (
    <section class={styles.stone}>
      <div class="spread">
        <h2><a href={`/stones/${stone.id}`}>{stone.code}</a></h2>
        <span class="note">{say.count(count)}</span>
      </div>
      {work.faces.map((face) => <OneFace key={face.inspection.id} work={work} face={face} mayDeal={mayDeal} />)}
    </section>
  );
}

function OneFace({ work, face, mayDeal }: { work: StoneWork; face: FaceWork; mayDeal: boolean }) {
  const { stone } = work;
  const { inspection, items } = face;
  const hand = new Set(items.flatMap((item) => (item.finding_id !== null && asksForWork(item.urgency) ? [item.finding_id] : [])));
  return (
    <div class={styles.face}>
      <div class={styles.picture}>
        <StoneFace
          stone={drawnOf(stone)}
          findings={inspection.findings}
          needsHand={hand}
          size="page"
          face={inspection.face}
          label={say.face(faces[inspection.face], stone.code, inspection.findings.length)}
        />
        <p class="note">{faces[inspection.face]}{face.local ? `. ${say.local}` : ""}</p>
      </div>
      <div class={styles.items}>
        {items.map((item, i) => (
          <Item
            key={itemKey(item)}
            item={item}
            inspection={inspection}
            mayDeal={mayDeal}
            saidAbove={item.caution !== null && items.slice(0, i).some((other) => other.caution?.includes(item.caution ?? "") ?? false)}
          />
        ))}
      </div>
    </div>
  );
}
