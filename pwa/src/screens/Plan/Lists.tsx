import { useId, useState } from "preact/hooks";
import { byTester, errandsOf, type Errand } from "../../domain/plan";
import type { Purpose } from "../../domain/records";
import { asked as sayAsk } from "../../words/asked";
import { plan as say } from "../../words/plan";
import { age, day, purposes } from "../../words/trade";
import { calendarDay } from "../calendarDay";
import { Line, type LineView } from "./Line";
import { namesOf, type PlanBase } from "./read";
import { planText } from "./text";
import { isGone, useAsk, type AskView } from "./useAsk";
import type { PlanView } from "./usePlan";
import styles from "./style.module.css";

/** The plan: what links groups first, then a list for each tester, ready to be asked for, read out, copied or printed. */
export function Lists({ view, base, purpose }: { readonly view: PlanView; readonly base: PlanBase; readonly purpose: Purpose }) {
  const asking = useAsk(purpose, view.kept);
  if (view.kept === null) return null;
  const { answer, wish, read_at, own } = view.kept;
  const names = namesOf(base, purpose);
  if (answer.trials.length === 0) {
    return (
      <section class="stack">
        <p>{answer.scale === null ? say.nothingPooled : say.nothing}</p>
        {answer.underway > 0 && <p>{say.underway(answer.underway)}</p>}
        <p class="note">{say.planned(age(read_at, Date.now()))}</p>
        <LeftOut view={view} base={base} purpose={purpose} />
      </section>
    );
  }
  const line: LineView = {
    base, names, asking,
    own: new Set(own),
    trials: answer.trials,
    holderOf: (stoneId) => base.holders.get(stoneId)?.holder_id ?? null,
    isWeighing: view.weighed === "asking",
    onChange: (from, to) => void view.change(from, to, base.testers.map(({ id }) => id), (one) => asking !== undefined && isGone(asking, one)),
  };
  const errands = errandsOf(answer.trials);
  const links = errands.filter((one) => one.links);
  const open = asking === undefined ? [] : errands.filter((one) => !isGone(asking, one));
  return (
    <section class={styles.plan}>
      <p class={styles.printed}>{say.textHead(purposes[purpose], day(read_at))}</p>
      <div class={`spread ${styles.screenOnly}`}>
        <span class="soft">
          {say.planned(age(read_at, Date.now()))} {own.length === 0 && errands.length < wish.n ? say.fewer(errands.length, wish.n) : ""}
          {answer.underway > 0 ? ` ${say.underway(answer.underway)}` : ""}
        </span>
        <div class="row">
          <Copy text={() => planText(answer, read_at, names)} />
          <button type="button" class="button" onClick={() => window.print()}>{say.print}</button>
        </div>
      </div>
      <Weighed how={view.weighed} />
      {asking && <Due asking={asking} />}
      {asking && open.length > 1 && (
        <p class={styles.screenOnly}>
          <button type="button" class="button" onClick={() => void asking.ask(open)}>{say.askEverybody(open.length)}</button>
        </p>
      )}
      {asking?.trouble != null && <p class="sheet needs-you" role="alert">{asking.trouble}</p>}
      {links.length > 0 && (
        <section class={styles.list}>
          <h2>{say.linksTitle}</h2>
          <p>{say.linksLead(answer.groups)}</p>
          <ol class={styles.errands}>{links.map((errand) => <Line key={errand.place} errand={errand} view={line} withTester />)}</ol>
        </section>
      )}
      <div class={styles.lists}>
        {byTester(answer.trials).map(({ tester_id, errands: all }) => {
          const own_list = all.filter((one) => !one.links);
          if (own_list.length === 0) return null;
          return (
            <section key={tester_id} class={styles.list}>
              <div class="spread">
                <h2>{names.tester(tester_id)}</h2>
                <span class="soft">{say.count(own_list.length)}</span>
              </div>
              {asking && <AskAll errands={own_list} asking={asking} name={names.tester(tester_id)} />}
              <ol class={styles.errands}>{own_list.map((errand) => <Line key={errand.place} errand={errand} view={line} />)}</ol>
            </section>
          );
        })}
      </div>
      <LeftOut view={view} base={base} purpose={purpose} />
      <Why view={view} base={base} purpose={purpose} />
    </section>
  );
}

/** Why this order, for whoever wonders. */
function Why({ view, base, purpose }: { readonly view: PlanView; readonly base: PlanBase; readonly purpose: Purpose }) {
  const answer = view.kept?.answer;
  if (answer === undefined) return null;
  const scale = base.protocols.filter((p) => p.purpose === purpose).flatMap((p) => p.scales).find((s) => s.id === answer.scale);
  return (
    <details class={styles.screenOnly}>
      <summary class={styles.more}>{say.why}</summary>
      <div class="stack">
        <p>{say.whyScale(scale?.name ?? answer.scale ?? "", String(answer.target_half_width))}</p>
        <p>{say.whyOrder}</p>
        <p>{say.whyHands}</p>
        <p class="note">{say.whyNot}</p>
      </div>
    </details>
  );
}

/** Stones that want trials and something else before. */
function LeftOut({ view, base, purpose }: { readonly view: PlanView; readonly base: PlanBase; readonly purpose: Purpose }) {
  const left = view.kept?.answer.left_out ?? [];
  if (left.length === 0) return null;
  return (
    <details class={styles.screenOnly}>
      <summary class={styles.more}>{say.leftOut(left.length)}</summary>
      <div class="stack">
        <p class="note">{say.leftOutLead}</p>
        <ul class={styles.leftOut}>
          {left.map(({ stone_id, because }) => {
            const code = base.stones.get(stone_id)?.code ?? say.noStone;
            return (
              <li key={stone_id}>
                <a class={styles.code} href={`/stones/${stone_id}`}>{code}</a>
                <p>{because}</p>
                <a class={styles.planFor} href={`/plan?purpose=${purpose}&stone=${stone_id}`}>{say.planFor(code)}</a>
              </li>
            );
          })}
        </ul>
      </div>
    </details>
  );
}

/** How the weighing of the last change went. */
function Weighed({ how }: { readonly how: PlanView["weighed"] }) {
  return (
    <p role="status" class={how === null || how === "here" ? "visually-hidden" : styles.screenOnly}>
      {how === null || how === "here" ? "" : how === "asking" ? say.weighing : say.notWeighed[how] ?? say.notWeighed["trouble"]}
    </p>
  );
}

function Due({ asking }: { readonly asking: AskView }) {
  const id = useId();
  return (
    <div class={`field ${styles.due} ${styles.screenOnly}`}>
      <label for={id}>{sayAsk.dueBy}</label>
      <input
        id={id} type="date" min={calendarDay(new Date())} value={asking.dueOn ?? ""} aria-describedby={`${id}-help`}
        onInput={(event) => asking.setDueOn(event.currentTarget.value === "" ? null : event.currentTarget.value)}
      />
      <p class="note" id={`${id}-help`}>{sayAsk.dueHelp}</p>
    </div>
  );
}

function AskAll({ errands, asking, name }: { readonly errands: readonly Errand[]; readonly asking: AskView; readonly name: string }) {
  const left = errands.filter((errand) => !isGone(asking, errand));
  return (
    <p class={styles.screenOnly} role="status">
      {left.length === 0
        ? <span class={styles.asked}>{sayAsk.allAsked}</span>
        : errands.length > 1 && (
          <button type="button" class="button" onClick={() => void asking.ask(left)}>
            {sayAsk.askAll(errands.length, left.length)}<span class="visually-hidden">, {name}</span>
          </button>
        )}
    </p>
  );
}

/** Some browsers have no clipboard on plain http; then the text stands in a box to be taken by hand. */
function Copy({ text }: { readonly text: () => string }) {
  const [how, setHow] = useState<"copied" | "by_hand" | null>(null);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text());
      setHow("copied");
    } catch {
      setHow("by_hand");
    }
  };
  return (
    <>
      {how === "by_hand" && (
        <label class={styles.byHand}>
          <span class="note">{say.copyHere}</span>
          <textarea class={styles.text} readOnly rows={8} value={text()} onFocus={(event) => event.currentTarget.select()} />
        </label>
      )}
      <button type="button" class="button" onClick={() => void copy()}>{say.copy}</button>
      <span role="status" class="soft">{how === "copied" ? say.copied : ""}</span>
    </>
  );
}
