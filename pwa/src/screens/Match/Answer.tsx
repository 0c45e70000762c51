import { useEffect, useRef } from "preact/hooks";
import { chosenOf, even, helpful, isWishName, most_listed, type Found, type FoundStone, type Values } from "../../domain/match";
import type { MatchWish, WishName } from "../../domain/records";
import { match as say } from "../../words/match";
import { age } from "../../words/trade";
import type { DraftForm } from "../useDraftForm";
import { FoundCard } from "./FoundCard";
import { MakeList } from "./MakeList";
import styles from "./style.module.css";

const shown_anyway = 3;

interface Kept {
  readonly read_at: string;
  readonly wish: MatchWish;
  readonly answer: Found;
}

/** The service's answer: what it says in one sentence, what would help, and the stones, best first. */
export function Answer(props: {
  readonly kept: Kept;
  /** The form says something else by now. */
  readonly stale: boolean;
  /** It came just now, in answer to a tap. */
  readonly fresh: boolean;
  readonly values: Values;
  readonly form: DraftForm;
  readonly onFind: (waived: readonly WishName[]) => void;
}) {
  const { kept, form } = props;
  const { answer, wish } = kept;
  const heading = useRef<HTMLHeadingElement>(null);
  const at = useRef(kept.read_at);
  useEffect(() => {
    // A new answer stands below the form on a phone: go there, as a hand would have to.
    if (at.current === kept.read_at && !props.fresh) return;
    at.current = kept.read_at;
    heading.current?.focus();
  }, [kept.read_at, props.fresh]);
  const chosen = chosenOf(props.values).filter((id) => answer.ranked.some((stone) => stone.stone_id === id));
  const choose = (id: string, on: boolean): void => {
    const next = on ? [...chosen, id].slice(0, most_listed) : chosen.filter((one) => one !== id);
    form.set({ chosen: next.length === 0 ? undefined : next });
  };
  // Of stones likelier not to serve a few are enough to see how near they come; the rest is a tap away.
  const first = answer.ranked.filter((stone, n) => stone.probability >= even || n < shown_anyway);
  const rest = answer.ranked.slice(first.length);
  return (
    <section class="stack" aria-label={say.found}>
      <div class={`sheet ${answer.fits ? "" : "needs-you"}`} role="status">
        <h2 ref={heading} tabIndex={-1}>{answer.verdict}</h2>
        <p class="soft figures">{say.considered(answer.n_considered, answer.n_stones)} {say.asOf(age(kept.read_at, Date.now()))}.</p>
        {props.stale && <p><strong>{say.otherWish}</strong></p>}
        {answer.behind && <p>{say.behind}</p>}
        {answer.missing_scales.length > 0 && <p>{say.missing(answer.missing_scales)}</p>}
        {wish.waived.length > 0 && (
          <div class="stack">
            <p>{say.waived}: {wish.waived.map((one) => say.wishes[one]).join(", ")}.</p>
            <div class="row">
              {wish.waived.map((one) => (
                <button key={one} type="button" class="button" onClick={() => props.onFind(wish.waived.filter((other) => other !== one))}>{say.countAgain(one)}</button>
              ))}
            </div>
          </div>
        )}
      </div>
      <Help answer={answer} waived={wish.waived} onFind={props.onFind} />
      <Asked answer={answer} />
      {answer.ranked.length === 0 ? <p>{say.none}</p> : (
        <>
          <p class="note">{say.key}</p>
          <Cards stones={first} chosen={chosen} onChoose={choose} />
          {rest.length > 0 && (
            <details>
              <summary>{say.lessLikely(rest.length)}</summary>
              <Cards stones={rest} chosen={chosen} onChoose={choose} />
            </details>
          )}
        </>
      )}
      <LeftOut answer={answer} />
      {answer.ranked.length > 0 && <MakeList wish={wish} chosen={chosen} values={props.values} form={form} />}
    </section>
  );
}

function Cards(props: { readonly stones: readonly FoundStone[]; readonly chosen: readonly string[]; readonly onChoose: (id: string, on: boolean) => void }) {
  return (
    <ol class={styles.found}>
      {props.stones.map((stone) => (
        <FoundCard key={stone.stone_id} stone={stone} chosen={props.chosen.includes(stone.stone_id)} onChoose={(on) => props.onChoose(stone.stone_id, on)} />
      ))}
    </ol>
  );
}

function Help({ answer, waived, onFind }: { readonly answer: Found; readonly waived: readonly WishName[]; readonly onFind: (waived: readonly WishName[]) => void }) {
  const lines = helpful(answer);
  if (lines.length === 0) return null;
  const list = (
    <ul class={styles.lines}>
      {lines.map(({ wish, words }) => (
        <li key={wish} class="spread">
          <span>{words}</span>
          {isWishName(wish) && <button type="button" class="button" aria-label={`${say.relax}: ${say.wishes[wish]}`} onClick={() => onFind([...waived, wish])}>{say.relax}</button>}
        </li>
      ))}
    </ul>
  );
  return answer.fits
    ? <details class="sheet"><summary><strong>{say.relaxTitle}</strong></summary><p class="note">{say.relaxLead}</p>{list}</details>
    : <div class="sheet"><h3>{say.relaxTitle}</h3><p class="note">{say.relaxLead}</p>{list}</div>;
}

function Asked({ answer }: { readonly answer: Found }) {
  return (
    <details class="sheet">
      <summary><strong>{say.asked}</strong></summary>
      {answer.needs.map((need, n) => (
        <div key={n} class="stack">
          <h3>{need.blade}{need.hrc_words === null ? "" : `, ${need.hrc_words}`}</h3>
          <p>{need.steel_words}</p>
          <ul class={styles.lines}>
            {need.bands.map((band) => (
              <li key={band.wish}><strong>{band.scale}: {band.words}.</strong> <span class="soft">{say.because} {band.reasons.join(" ")}</span></li>
            ))}
          </ul>
        </div>
      ))}
    </details>
  );
}

function LeftOut({ answer }: { readonly answer: Found }) {
  const n = answer.left_out.reduce((sum, one) => sum + one.stone_ids.length, 0);
  if (n === 0) return null;
  return (
    <details>
      <summary>{say.leftOut(n)}</summary>
      <ul class={styles.lines}>
        {answer.left_out.map((one) => <li key={one.reason} class="figures">{say.leftOutOf(one.words, one.stone_ids.length)}</li>)}
      </ul>
    </details>
  );
}
