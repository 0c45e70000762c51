import { useId, useState } from "preact/hooks";
import { byTester, type Errand } from "../../domain/plan";
import type { Purpose } from "../../domain/records";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import type { PlanAnswer } from "../../store/plan";
import { asked as sayAsk } from "../../words/asked";
import { plan as say } from "../../words/plan";
import { age, day, purposes } from "../../words/trade";
import { calendarDay } from "../calendarDay";
import { namesOf, type PlanBase } from "./read";
import { gainWords, planText, type Names } from "./text";
import { useAsk, type AskView } from "./useAsk";
import styles from "./style.module.css";

/** The plan, a list for each tester, ready to be read out, copied or printed. */
export function Lists({ kept, base, purpose }: { readonly kept: PlanAnswer; readonly base: PlanBase; readonly purpose: Purpose }) {
  const { answer, wish, read_at } = kept;
  const names = namesOf(base, purpose);
  const asking = useAsk(purpose);
  if (answer.trials.length === 0) {
    return (
      <section class="stack">
        <p>{answer.scale === null ? say.nothingPooled : say.nothing}</p>
        <p class="note">{say.planned(age(read_at, Date.now()))}</p>
      </section>
    );
  }
  const scale = base.protocols.filter((p) => p.purpose === purpose).flatMap((p) => p.scales).find((s) => s.id === answer.scale);
  return (
    <section class={styles.plan}>
      <p class={styles.printed}>{say.textHead(purposes[purpose], day(read_at))}</p>
      <div class={`spread ${styles.screenOnly}`}>
        <span class="soft">
          {say.planned(age(read_at, Date.now()))} {answer.trials.length < wish.n ? say.fewer(answer.trials.length, wish.n) : ""}
        </span>
        <div class="row">
          <Copy text={() => planText(answer, read_at, names)} />
          <button type="button" class="button" onClick={() => window.print()}>{say.print}</button>
        </div>
      </div>
      {asking && <Due asking={asking} />}
      {asking?.trouble != null && <p class="sheet needs-you" role="alert">{asking.trouble}</p>}
      <div class={styles.lists}>
        {byTester(answer.trials).map(({ tester_id, errands }) => (
          <section key={tester_id} class={styles.list}>
            <div class="spread">
              <h2>{names.tester(tester_id)}</h2>
              <span class="soft">{say.count(errands.length)}</span>
            </div>
            {asking && <AskAll errands={errands} asking={asking} name={names.tester(tester_id)} />}
            <ol class={styles.errands}>
              {errands.map((errand) => <One key={errand.place} errand={errand} base={base} names={names} target={answer.target_half_width} asking={asking} />)}
            </ol>
          </section>
        ))}
      </div>
      <details class={styles.screenOnly}>
        <summary class={styles.more}>{say.why}</summary>
        <div class="stack">
          <p>{say.whyScale(scale?.name ?? answer.scale ?? "", String(answer.target_half_width))}</p>
          <p>{say.whyOrder}</p>
          <p class="note">{say.whyNot}</p>
        </div>
      </details>
    </section>
  );
}

function One(props: { readonly errand: Errand; readonly base: PlanBase; readonly names: Names; readonly target: number; readonly asking: AskView | undefined }) {
  const { errand, base, names, asking } = props;
  const stone = base.stones.get(errand.stone_id);
  const blades = names.blades(errand.steel);
  return (
    <li class={styles.errand}>
      <span class={styles.place}>{errand.place}</span>
      <span class={styles.face}>{stone && <StoneFace stone={drawnOf(stone)} size="row" label="" />}</span>
      <div class={styles.what}>
        <div class={styles.head}>
          <a class={styles.code} href={`/stones/${errand.stone_id}`}>{names.stone(errand.stone_id)}</a>
          {asking && (
            <div class={`${styles.ask} ${styles.screenOnly}`}>
              {asking.isAsked(errand)
                ? <span class={styles.asked}>{sayAsk.isAsked}</span>
                : (
                  <button type="button" class="button" aria-label={sayAsk.askOne(names.tester(errand.tester_id), names.stone(errand.stone_id))} onClick={() => void asking.ask([errand])}>
                    {sayAsk.ask}
                  </button>
                )}
            </div>
          )}
        </div>
        <span>{names.steel(errand.steel)}</span>
        {blades.length > 0 && <span class="note">{say.blades(blades)}</span>}
      </div>
      <p class={styles.gain}>
        {gainWords(errand)}
        {errand.half_width_after <= props.target && <span class={styles.enough}>{say.enough}</span>}
      </p>
    </li>
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
  const left = errands.filter((errand) => !asking.isAsked(errand));
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
