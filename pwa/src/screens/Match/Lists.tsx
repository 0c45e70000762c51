import type { Seen } from "../../store/catalogue";
import { match as say, shortlist as sayList } from "../../words/match";
import { day } from "../../words/trade";
import styles from "./style.module.css";

/** Shortlists made so far, the latest first. */
export function Lists({ lists }: { readonly lists: readonly Seen<"shortlist">[] }) {
  if (lists.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.made}</h2>
      <ul class={styles.made}>
        {lists.map(({ record, state }) => (
          <li key={record.id}>
            <a class={styles.one} href={`/match/${record.id}`}>
              <strong>{record.name}</strong>
              <span class="soft figures">
                {[
                  sayList.line(day(record.made_on === "" ? record.created_at : record.made_on), record.stone_ids.length),
                  ...(record.withdrawn === null ? [] : [sayList.isWithdrawn]),
                  ...(state === "sent" ? [] : [sayList.states[state] ?? ""]),
                ].join(", ")}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
