import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import type { WorkItem } from "../../domain/soundness/work";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { asksForWork, UrgencySign } from "../../parts/VerdictCard";
import { useLive } from "../../store/live";
import { lap as sayLap } from "../../words/lap";
import { verdict as sayVerdict } from "../../words/parts";
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
      {view.work.map((work, i) => <OneStone key={work.stone.id} work={work} mayDeal={view.mayDeal} begin={one || i === 0} />)}
    </div>
  );
}

/** One stone: a line that tells what asks most, and under it, when opened, everything. */
function OneStone({ work, mayDeal, begin }: { work: StoneWork; mayDeal: boolean; begin: boolean }) {
  const { stone } = work;
  const [open, setOpen] = useState(begin);
  const items = itemsOf([work]);
  const most = items[0];
  const first = work.faces[0];
  return (
    <details class={styles.stone} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary class={styles.head}>
        {most && <UrgencySign urgency={most.urgency} small />}
        <StoneFace
          stone={drawnOf(stone)}
          findings={first?.inspection.findings ?? []}
          needsHand={handOf(items)}
          size="row"
          label=""
        />
        <span class={styles.what}>
          <strong class={styles.code}>{stone.code}</strong>
          <span>{most ? sayVerdict.named(most.verdict) : ""}</span>
        </span>
        <span class={styles.count}>{say.count(items.length)}</span>
      </summary>
      {open && (
        <div class={styles.inside}>
          {work.faces.map((face) => <OneFace key={face.inspection.id} work={work} face={face} mayDeal={mayDeal} />)}
          <p class="row">
            <a class="button" href={`/stones/${stone.id}`}>{say.toStone(stone.code)}</a>
            {items.some((item) => item.verdict === "lap") && <a class="button" href={`/stones/${stone.id}/lap`}>{sayLap.link}</a>}
          </p>
        </div>
      )}
    </details>
  );
}

const handOf = (items: readonly WorkItem[]): Set<string> =>
  new Set(items.flatMap((item) => (item.finding_id !== null && asksForWork(item.urgency) ? [item.finding_id] : [])));

function OneFace({ work, face, mayDeal }: { work: StoneWork; face: FaceWork; mayDeal: boolean }) {
  const { stone } = work;
  const { inspection, items } = face;
  return (
    <div class={styles.face}>
      <div class={styles.picture}>
        <StoneFace
          stone={drawnOf(stone)}
          findings={inspection.findings}
          needsHand={handOf(items)}
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
