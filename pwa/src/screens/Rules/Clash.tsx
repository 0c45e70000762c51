import type { Rule } from "../../domain/records";
import { useLive } from "../../store/live";
import { readQueue } from "../../store/outbox";
import { keepMine, takeTheirs } from "../../sync/commands";
import { choose } from "../../words/bench";
import { rules as say } from "../../words/rules";
import { differences } from "./thresholds";
import styles from "./style.module.css";

/** Two versions of the rules: what differs, threshold by threshold, and which of the two is to stand. */
export function Clash({ id, names }: { id: string; names: ReadonlyMap<string, string> }) {
  const entry = useLive(async () =>
    (await readQueue()).find((one) => one.record_id === id && one.state === "needs_you" && one.theirs !== null) ?? null, [id]);
  if (!entry || entry.body === null || entry.theirs === null || entry.sequence === undefined) return null;
  const { sequence, theirs } = entry;
  const mine = entry.body["rules"] as readonly Rule[];
  const by = typeof theirs["updated_by"] === "string" ? (names.get(theirs["updated_by"]) ?? null) : null;
  return (
    <section class="sheet needs-you" role="alert">
      <h2>{say.clash(by)}</h2>
      <p>{say.clashLead}</p>
      <ul class={styles.told}>{differences(theirs["rules"] as readonly Rule[], mine).map((line) => <li key={line}>{line}</li>)}</ul>
      <div class="row">
        <button type="button" class="button button-hand" onClick={() => void keepMine(sequence)}>{choose.keepMine}</button>
        <button type="button" class="button" onClick={() => void takeTheirs(sequence)}>{choose.takeTheirs}</button>
      </div>
    </section>
  );
}
