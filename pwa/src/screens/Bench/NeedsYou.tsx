import { keepMine, retry, setAside, takeTheirs } from "../../sync/commands";
import { bench, choose, problemElse, problems } from "../../words/bench";
import { differences, fieldWords, valueWords } from "./differences";
import type { KnownEntry } from "./read";
import styles from "./style.module.css";

const shownDifferences = 6;

/** Mine and theirs, only where they differ. */
function Compare({ known, names }: { readonly known: KnownEntry; readonly names: ReadonlyMap<string, string> }) {
  const { body, theirs } = known.entry;
  if (body === null || theirs === null) return null;
  const by = typeof theirs["updated_by"] === "string" ? names.get(theirs["updated_by"]) : undefined;
  const isMine = theirs["updated_by"] === known.entry.member_id;
  const told = (value: unknown): string =>
    (typeof value === "string" ? names.get(value) : undefined) ?? valueWords(value, choose.nothing);
  const all = differences(body, theirs);
  return (
    <div class={styles.compare}>
      <table>
        <thead>
          <tr><td /><th scope="col">{choose.mine}</th><th scope="col">{isMine ? choose.elsewhere : by === undefined ? choose.theirs : choose.by(by)}</th></tr>
        </thead>
        <tbody>
          {all.slice(0, shownDifferences).map(({ field, mine, theirs: other }) => (
            <tr key={field}>
              <th scope="row">{fieldWords(field)}</th>
              <td>{told(mine)}</td>
              <td>{told(other)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {all.length > shownDifferences ? <p class="note">{choose.more(all.length - shownDifferences)}</p> : null}
    </div>
  );
}

/** One record that only its writer can help: what is wrong, and what to do about it. */
export function NeedsYou({ known, names }: { readonly known: KnownEntry; readonly names: ReadonlyMap<string, string> }) {
  const { entry, sequence, stoneCode, href } = known;
  const { problem } = entry;
  // Two versions of the rules are told threshold by threshold on their own screen.
  const isRules = entry.thing === "rule_set";
  const isChoice = entry.theirs !== null;
  return (
    <article class={`sheet needs-you ${styles.problem}`}>
      <h3>{bench.acts[entry.act]}{bench.thing(entry.thing, stoneCode)}</h3>
      <p>{problems[problem?.code ?? ""] ?? problemElse}</p>
      {isChoice || problem === null ? null : (
        <div class="stack">
          {problem.detail === "" ? null : <p class="soft">{problem.detail}</p>}
          {problem.errors.length === 0 ? null : (
            <ul class={styles.errors}>
              {problem.errors.map(({ field, message }) => (
                <li key={`${field} ${message}`}>{field === "" ? null : <><strong>{fieldWords(field)}</strong>: </>}{message}</li>
              ))}
            </ul>
          )}
        </div>
      )}
      {isChoice && !isRules ? <Compare known={known} names={names} /> : null}
      <div class="row">
        {isChoice && isRules && href !== null ? <a class="button button-hand" href={href}>{choose.open}</a> : isChoice ? (
          <>
            <button type="button" class="button button-hand" onClick={() => keepMine(sequence)}>{choose.keepMine}</button>
            <button type="button" class="button" onClick={() => takeTheirs(sequence)}>{choose.takeTheirs}</button>
          </>
        ) : (
          <>
            {href === null ? null : <a class="button button-hand" href={href}>{choose.open}</a>}
            <button type="button" class="button" onClick={() => retry(sequence)}>{choose.again}</button>
            <button type="button" class="button button-plain" onClick={() => setAside(sequence)}>{choose.aside}</button>
          </>
        )}
      </div>
    </article>
  );
}
