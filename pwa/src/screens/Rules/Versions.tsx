import { readVersions, useView } from "../../sync/views";
import { rules as say } from "../../words/rules";
import { day } from "../../words/trade";
import { differences } from "./thresholds";
import styles from "./style.module.css";

/** What each version changed, the latest first. */
export function Versions({ id, current, names }: { id: string; current: number; names: ReadonlyMap<string, string> }) {
  const answer = useView(() => readVersions("rule_set", id), [id, current]);
  if (answer === undefined) return <p class="soft">{say.asking}</p>;
  if (answer.kind !== "here") return <p>{say.noVersions}</p>;
  const items = [...answer.value.items].sort((a, b) => a.version - b.version);
  return (
    <ol class={styles.versions} reversed>
      {items.map((one, i) => {
        const before = items[i - 1];
        const told = before === undefined ? [say.first] : differences(before.rules, one.rules);
        return (
          <li key={one.version} class="sheet">
            <div class="spread">
              <h3>{say.version(one.version)}</h3>
              <span class="note">{day(one.updated_at)} {say.by(one.updated_by === null ? null : (names.get(one.updated_by) ?? null))}</span>
            </div>
            <ul class={styles.told}>{(told.length === 0 ? [say.nothing] : told).map((line) => <li key={line}>{line}</li>)}</ul>
          </li>
        );
      }).reverse()}
    </ol>
  );
}
