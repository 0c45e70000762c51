import { useState } from "preact/hooks";
import { isSame, keyOf, type Errand, type Who } from "../../domain/plan";
import { SelectField } from "../../parts/Fields";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { asked as sayAsk } from "../../words/asked";
import { holding, plan as say } from "../../words/plan";
import type { PlanBase } from "./read";
import type { Names } from "./text";
import type { AskView } from "./useAsk";
import styles from "./style.module.css";

/** What every line of a plan needs to know. */
export interface LineView {
  readonly base: PlanBase;
  readonly names: Names;
  readonly asking: AskView | undefined;
  /** Keys of the lines that the dealer put in. */
  readonly own: ReadonlySet<string>;
  /** Every line there is, so that none is put in twice. */
  readonly trials: readonly Who[];
  /** Who has the stone; null: it is with the dealer. */
  readonly holderOf: (stoneId: string) => string | null;
  readonly isWeighing: boolean;
  readonly onChange: (line: Who, to: Who | null) => void;
}

/** One trial of the plan: what, with which steel, what it brings, and the ways to ask for it or to change it. */
export function Line({ errand, view, withTester }: { readonly errand: Errand; readonly view: LineView; readonly withTester?: boolean }) {
  const { base, names, asking } = view;
  const [changing, setChanging] = useState(false);
  const stone = base.stones.get(errand.stone_id);
  const code = names.stone(errand.stone_id);
  const blades = names.blades(errand.steel);
  const isAsked = asking?.isAsked(errand) === true;
  const isDone = asking?.isDone(errand) === true;
  const holder = view.holderOf(errand.stone_id);
  return (
    <li class={styles.errand}>
      <span class={styles.place}>{errand.place}</span>
      <span class={styles.face}>{stone && <StoneFace stone={drawnOf(stone)} size="row" label="" />}</span>
      <div class={styles.what}>
        <a class={styles.code} href={`/stones/${errand.stone_id}`}>{code}</a>
        {withTester && <span>{say.by(names.tester(errand.tester_id))}</span>}
        <span>{names.steel(errand.steel)}</span>
        <span class="note">
          {[...(blades.length > 0 ? [say.blades(blades)] : []), whereWords(holder, errand.tester_id, names)].join(" · ")}
        </span>
      </div>
      <div class={styles.gain}>
        {view.own.has(keyOf(errand)) && errand.why.length > 0 && <p class={styles.yours}>{say.yours}</p>}
        {errand.why.length === 0 ? <p class={styles.yours}>{say.unweighed}</p> : errand.why.map((one) => <p key={one}>{one}</p>)}
      </div>
      {asking && (
        <div class={`${styles.ask} ${styles.screenOnly}`}>
          {isDone || isAsked
            ? <span class={styles.asked}>{isDone ? sayAsk.isDone : sayAsk.isAsked}</span>
            : (
              <>
                <button type="button" class="button" aria-label={sayAsk.askOne(names.tester(errand.tester_id), code)} onClick={() => void asking.ask([errand])}>
                  {sayAsk.ask}
                </button>
                <button type="button" class="button button-plain" aria-expanded={changing} aria-label={say.changeOne(code, names.tester(errand.tester_id))} onClick={() => setChanging(!changing)}>
                  {say.change}
                </button>
              </>
            )}
        </div>
      )}
      {changing && !isAsked && !isDone && (
        <Change
          errand={errand}
          view={view}
          onDone={(to) => {
            setChanging(false);
            if (to !== undefined) view.onChange(errand, to);
          }}
        />
      )}
    </li>
  );
}

const whereWords = (holder: string | null, tester: string, names: Names): string =>
  holder === null ? holding.carryDealer : holder === tester ? holding.isAtHand : holding.carry(names.tester(holder));

/** Another tester or another steel for a line, or no such line. undefined: left as it is. */
function Change(props: { readonly errand: Errand; readonly view: LineView; readonly onDone: (to: Who | null | undefined) => void }) {
  const { errand, view } = props;
  const [to, setTo] = useState<Who>(errand);
  const testers = view.base.testers.map(({ id, display_name }) => ({ value: id, words: display_name }));
  const steels = view.base.steels.map(({ steel, name }) => ({ value: steel, words: name }));
  const isThere = !isSame(to, errand) && view.trials.some((trial) => isSame(trial, to));
  return (
    <form
      class={`sheet ${styles.changeForm}`}
      aria-label={say.changeTitle(view.names.stone(errand.stone_id))}
      onSubmit={(event) => {
        event.preventDefault();
        if (!isThere) props.onDone(isSame(to, errand) ? undefined : to);
      }}
    >
      <SelectField name={say.tester} value={to.tester_id} options={testers} onSet={(tester_id) => { if (tester_id !== "") setTo({ ...to, tester_id }); }} />
      <SelectField name={say.steel} value={to.steel} options={steels} onSet={(steel) => { if (steel !== "") setTo({ ...to, steel }); }} />
      {isThere && <p class={styles.wrong} role="alert">{say.isThere}</p>}
      <div class="row">
        <button type="submit" class="button button-main" disabled={isThere || view.isWeighing}>{say.use}</button>
        <button type="button" class="button" disabled={view.isWeighing} onClick={() => props.onDone(null)}>{say.drop}</button>
        <button type="button" class="button button-plain" onClick={() => props.onDone(undefined)}>{say.notNow}</button>
      </div>
    </form>
  );
}
