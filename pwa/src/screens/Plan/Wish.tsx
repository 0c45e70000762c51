import { useState } from "preact/hooks";
import { fewestTrials, mostTrials, shareOf } from "../../domain/plan";
import type { Member } from "../../domain/records";
import { NumberField } from "../../parts/Fields";
import { plan as say } from "../../words/plan";
import type { PlanView } from "./usePlan";
import styles from "./style.module.css";

const usualTrials = 20;

/** How many trials, and who takes part with how many. */
export function Wish(props: { readonly view: PlanView; readonly testers: readonly Member[]; readonly stoneId: string | null }) {
  const { view, testers, stoneId } = props;
  const before = view.wishBefore;
  // One stone needs few trials, and of several testers rather than of the steadiest one several times.
  const own = view.kept?.wish;
  const alone = stoneId !== null;
  const [n, setN] = useState<number | null>(own?.n ?? (alone ? fewestTrials : before?.n ?? usualTrials));
  const [out, setOut] = useState<readonly string[]>(before?.out ?? []);
  const [most, setMost] = useState<Readonly<Record<string, number>>>(before?.most ?? {});
  const [each, setEach] = useState<number | null>(own?.each ?? (alone ? 1 : before?.each ?? null));
  const ids = testers.map((tester) => tester.id);
  const taking = ids.filter((id) => !out.includes(id)).length;
  const share = shareOf(n ?? usualTrials, taking);
  const asking = view.asked === "asking";
  const setLimit = (id: string, value: number | null): void =>
    setMost(value === null ? Object.fromEntries(Object.entries(most).filter(([one]) => one !== id)) : { ...most, [id]: value });

  return (
    <form
      class={`sheet ${styles.wish}`}
      onSubmit={(event) => {
        event.preventDefault();
        if (n !== null && taking > 0) void view.ask({ n, out, each, most, stone_id: stoneId }, ids);
      }}
    >
      <div class={styles.numbers}>
        <NumberField name={say.n} value={n} low={fewestTrials} high={mostTrials} whole onSet={setN} />
        <NumberField name={say.each} value={each ?? share} low={1} high={mostTrials} whole onSet={setEach} />
      </div>
      {testers.length === 0 ? <p>{say.noTesters}</p> : (
        <details>
          <summary class={styles.more}>{say.testers(taking, testers.length)}</summary>
          <div class={styles.testerHead} aria-hidden="true"><span>{say.takesPart}</span><span>{say.mostShort}</span></div>
          <ul class={styles.testers}>
            {testers.map(({ id, display_name }) => (
              <li key={id} class={styles.tester}>
                <label class={styles.take}>
                  <input
                    type="checkbox"
                    aria-label={say.takes(display_name)}
                    checked={!out.includes(id)}
                    onChange={(event) => setOut(event.currentTarget.checked ? out.filter((one) => one !== id) : [...out, id])}
                  />
                  <span>{display_name}</span>
                </label>
                {!out.includes(id) && (
                  <div class={styles.most}>
                    <input
                      type="text"
                      inputMode="numeric"
                      autocomplete="off"
                      aria-label={say.most(display_name)}
                      placeholder={String(each ?? share)}
                      maxLength={2}
                      value={most[id] === undefined ? "" : String(most[id])}
                      onInput={(event) => {
                        const typed = event.currentTarget.value.replace(/\D/g, "");
                        event.currentTarget.value = typed;
                        setLimit(id, typed === "" ? null : Number(typed));
                      }}
                    />
                  </div>
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
      {taking === 0 && testers.length > 0 && <p class={styles.wrong}>{say.nobody}</p>}
      <button type="submit" class="button button-main" disabled={asking || n === null || taking === 0}>
        {view.kept === null ? say.propose : say.again}
      </button>
      {asking && <p class="soft" role="status">{say.asking}</p>}
      {view.asked !== null && view.asked !== "asking" && view.asked !== "here" && (
        <p role="alert">
          {say.trouble[view.asked] ?? say.trouble["trouble"]}
          {view.asked === "signed_out" && <> <a href="/sign-in">{say.signIn}</a></>}
        </p>
      )}
    </form>
  );
}
