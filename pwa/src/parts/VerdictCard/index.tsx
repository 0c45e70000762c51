import type { Urgency } from "../../domain/records";
import { verdict as say } from "../../words/parts";
import styles from "./style.module.css";


/** What the card needs of a verdict; the computed one satisfies it. */
export interface ShownVerdict {
  readonly rule_id: string;
  readonly finding_id: string | null;
  readonly verdict: string;
  readonly urgency: Urgency;
  readonly because: string;
  readonly caution: string | null;
}

const order: readonly Urgency[] = ["reject", "before_use", "soon", "watch", "none"];

/** Most urgent first; within an urgency as the rules gave them. */
export function byUrgency<V extends ShownVerdict>(verdicts: readonly V[]): V[] {
  return [...verdicts].sort((a, b) => order.indexOf(a.urgency) - order.indexOf(b.urgency));
}

/** Whether somebody has to do something to the stone. */
export const asksForWork = (urgency: Urgency): boolean => urgency === "soon" || urgency === "before_use" || urgency === "reject";

/** Verdicts under each other, most urgent first. A caution already said in full above is only pointed at. */
export function VerdictCards(props: { verdicts: readonly ShownVerdict[]; findingNumber: (findingId: string) => number; wide?: boolean }) {
  const sorted = byUrgency(props.verdicts);
  return (
    <div class={props.wide ? `${styles.cards} ${styles.side}` : styles.cards} aria-live="polite">
      {sorted.map((verdict, i) => (
        <VerdictCard
          key={`${verdict.rule_id} ${verdict.finding_id ?? ""}`}
          verdict={verdict}
          findingNumber={verdict.finding_id === null ? null : props.findingNumber(verdict.finding_id)}
          saidAbove={verdict.caution !== null && sorted.slice(0, i).some((v) => v.caution?.includes(verdict.caution ?? "") ?? false)}
        />
      ))}
    </div>
  );
}

/** One verdict: how urgent, what to do, why, and the caution that goes with the work. */
export function VerdictCard({ verdict, findingNumber, saidAbove = false }: { verdict: ShownVerdict; findingNumber: number | null; saidAbove?: boolean }) {
  return (
    <article class={`${styles.card} ${styles[verdict.urgency]}`}>
      <UrgencySign urgency={verdict.urgency} />
      <div class={styles.body}>
        <h3 class={styles.title}>
          {say.named(verdict.verdict)}{" "}
          {findingNumber !== null && <span class={styles.which}>{say.finding(findingNumber)}</span>}
        </h3>
        <p class={styles.urgency}>{say.urgency[verdict.urgency]}</p>
        <p>{verdict.because}</p>
        {verdict.caution && <Caution text={saidAbove ? say.asAbove : verdict.caution} />}
      </div>
    </article>
  );
}

/** Five signs that fill up as urgency grows, and a crossed one for "set aside". */
export function UrgencySign({ urgency, small = false }: { urgency: Urgency; small?: boolean }) {
  const filled = { none: 0, watch: 1, soon: 2, before_use: 3, reject: 3 }[urgency];
  return (
    <svg class={`${styles.sign} ${small ? styles.small : ""} ${asksForWork(urgency) ? styles.hand : ""}`} viewBox="0 0 20 44" aria-hidden="true">
      {[0, 1, 2].map((i) => (
        <rect key={i} class={i < filled ? styles.full : styles.hollow} x="2" y={30 - i * 14} width="16" height="11" />
      ))}
      {urgency === "reject" && <path class={styles.cross} d="M1 1 19 43M19 1 1 43" />}
    </svg>
  );
}

/** What can hurt, and what to do about it. */
export function Caution({ text }: { text: string }) {
  return (
    <p class={styles.caution}>
      <strong>{say.caution}</strong> {text}
    </p>
  );
}
