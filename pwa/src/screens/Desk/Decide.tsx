import type { Decisions } from "../../domain/board";
import { desk as say } from "../../words/desk";
import styles from "./style.module.css";

/** What asks for a decision, each the way to the stones it is about. */
export function Decide({ decisions, hrefOf }: { readonly decisions: Decisions; readonly hrefOf: (query: Readonly<Record<string, string>>) => string }) {
  const { moved, ready, to_repair, asked, overdue } = decisions;
  const lines: { readonly words: string; readonly query: Readonly<Record<string, string>>; readonly hand: boolean }[] = [
    ...(moved > 0 ? [{ words: say.moved(moved), query: { only: "moved" }, hand: true }] : []),
    ...(ready > 0 ? [{ words: say.ready(ready), query: { state: "ready" }, hand: false }] : []),
    ...(to_repair > 0 ? [{ words: say.toRepair(to_repair), query: { state: "to_repair" }, hand: false }] : []),
    ...(asked > 0 ? [{ words: say.asked(asked, overdue), query: { only: overdue > 0 ? "overdue" : "asked" }, hand: overdue > 0 }] : []),
  ];
  if (lines.length === 0) return <p class="soft">{say.nothing}</p>;
  return (
    <ul class={styles.decide}>
      {lines.map(({ words, query, hand }) => (
        <li key={words}><a class={`${styles.decision} ${hand ? styles.needs : ""}`} href={hrefOf(query)}>{words}</a></li>
      ))}
    </ul>
  );
}

const places = [
  { href: "/intake", words: say.intake }, { href: "/plan", words: say.plan }, { href: "/match", words: say.match },
  { href: "/pooled", words: say.pooled }, { href: "/agreement", words: say.agreement }, { href: "/testers", words: say.testers },
  { href: "/work", words: say.work }, { href: "/export", words: say.export }, { href: "/protocols", words: say.protocols },
] as const;

/** The dealer's other rooms. */
export function Places() {
  return (
    <nav class={styles.places} aria-label={say.places}>
      {places.map((place) => <a key={place.href} class={styles.place} href={place.href}>{place.words}</a>)}
    </nav>
  );
}
