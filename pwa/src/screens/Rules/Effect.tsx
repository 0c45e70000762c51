import type { Stone, Verdict } from "../../domain/records";
import { UrgencySign } from "../../parts/VerdictCard";
import type { RulesPreview, View } from "../../sync/views";
import { verdict as sayVerdict } from "../../words/parts";
import { rules as say } from "../../words/rules";
import { faces } from "../../words/trade";
import styles from "./style.module.css";

/** Which stones would gain or lose which verdicts, before anything is saved. */
export function Effect({ answer, stale, stones }: { answer: View<RulesPreview>; stale: boolean; stones: ReadonlyMap<string, Stone> }) {
  if (answer.kind !== "here") {
    return <p class="sheet needs-you" role="alert">{answer.kind === "no_network" ? say.offline : say.failed(answer.detail)}</p>;
  }
  const { changed, cannot_be_judged: cannot, n_inspected } = answer.value;
  const code = (id: string): string => stones.get(id)?.code ?? "";
  const inTurn = [...changed].sort((a, b) => code(a.stone_id).localeCompare(code(b.stone_id)));
  return (
    <section class={`sheet ${styles.effect}`} aria-live="polite">
      <h2>{say.effectTitle}</h2>
      {stale && <p class={styles.stale}>{say.stale}</p>}
      <p>{say.ofFaces(n_inspected)} {changed.length === 0 ? say.noEffect : say.changes(changed.length)}</p>
      <ul class={styles.effects}>
        {inTurn.map((one) => (
          <li key={`${one.stone_id} ${one.face}`}>
            <a href={`/stones/${one.stone_id}`}>{code(one.stone_id)}</a> <span class="note">{say.face(faces[one.face])}</span>
            <ul class={styles.moves}>
              {one.gone.map((verdict) => <Move key={`- ${keyOf(verdict)}`} word={say.loses} verdict={verdict} />)}
              {one.new.map((verdict) => <Move key={`+ ${keyOf(verdict)}`} word={say.gains} verdict={verdict} />)}
            </ul>
          </li>
        ))}
      </ul>
      {cannot.length > 0 && (
        <>
          <p>{say.cannot(cannot.length)}</p>
          <ul class={styles.effects}>
            {cannot.map((one) => <li key={`${one.stone_id} ${one.face}`}>{code(one.stone_id)} {say.face(faces[one.face])}: {one.detail}</li>)}
          </ul>
        </>
      )}
    </section>
  );
}

type Told = Pick<Verdict, "rule_id" | "finding_id" | "verdict" | "urgency">;
const keyOf = (verdict: Told): string => `${verdict.rule_id} ${verdict.finding_id ?? ""}`;

const Move = ({ word, verdict }: { word: string; verdict: Told }) => (
  <li class={styles.move}>
    <UrgencySign urgency={verdict.urgency} small />
    <span><strong>{word}</strong> {sayVerdict.named(verdict.verdict)}, {say.urgency[verdict.urgency]}{verdict.finding_id === null ? "" : ` (${say.finding})`}</span>
  </li>
);
