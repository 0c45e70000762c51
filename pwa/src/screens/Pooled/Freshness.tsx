import { pooled as say } from "../../words/pooled";
import { age } from "../../words/trade";
import type { PooledView } from "./usePooled";
import styles from "./style.module.css";

/** An answer of the service that is kept here: pooled grades, or what goes with them and does not say when it was computed. */
interface Kept extends Pick<PooledView, "readAt" | "asked" | "again"> {
  readonly answer: { readonly computed_at?: string; readonly behind?: boolean } | null;
}

/** How fresh the shown grades are, and what to do when they could not be renewed. */
export function Freshness({ view }: { view: Kept | undefined }) {
  if (view === undefined) return null;
  const now = Date.now();
  const from = view.answer === null
    ? view.asked === null ? null : say.nothing
    : view.asked === "here" && view.answer.computed_at !== undefined ? say.fromService(age(view.answer.computed_at, now))
    : view.asked === "here" && view.readAt !== null ? say.read(age(view.readAt, now)) : view.readAt === null ? null : say.fromPhone(age(view.readAt, now));
  const trouble = view.asked === null || view.asked === "here" ? null : say.trouble[view.asked] ?? null;
  return (
    <p class={styles.fresh} role="status">
      {from && <span>{from}</span>}
      {view.asked === "here" && view.answer?.behind === true && <span>{say.behind}</span>}
      {view.asked === null && <span>{say.asking}</span>}
      {trouble !== null && <span>{trouble}</span>}
      {view.asked === "signed_out" && <a class="button" href="/sign-in">{say.signIn}</a>}
      {((trouble !== null && view.asked !== "signed_out") || (view.asked === "here" && view.answer?.behind === true)) && (
        <button type="button" class="button" onClick={view.again}>{say.again}</button>
      )}
    </p>
  );
}
