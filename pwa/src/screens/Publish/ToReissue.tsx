import { countToReissue } from "../../domain/publishing";
import { readAll } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { readMovedSlips, useView } from "../../sync/views";
import { toReissue as say } from "../../words/publish";
import { movedWords } from "./Issued";
import styles from "./style.module.css";

const readSlips = async () => new Map((await readAll("slip")).map(({ record }) => [record.id, record]));

/** Published grades that later trials have moved, each with the way to its stone; nothing while there are none. */
export function ToReissue({ codeOf }: { readonly codeOf: (stoneId: string) => string }) {
  const slips = useLive(readSlips, []);
  const view = useView(readMovedSlips, []);
  if (slips === undefined || view?.kind !== "here") return null;
  const moved = view.value.items;
  const count = countToReissue(moved);
  if (count === 0) return null;
  const once = moved.filter((one, i) => moved.findIndex((other) => other.slip_id === one.slip_id) === i);
  return (
    <details class="sheet needs-you">
      <summary class={styles.moreHand}>{say.count(count)}</summary>
      <p>{say.lead}</p>
      <ul class={styles.earlier}>
        {once.map((one) => {
          const slip = slips.get(one.slip_id);
          return (
            <li key={one.slip_id} class={styles.one}>
              <a class={styles.plainLink} href={`/stones/${one.stone_id}/publish?purpose=${one.purpose}`}>
                <strong>{codeOf(one.stone_id)}</strong>
              </a>
              {slip && movedWords(slip, moved).map((words) => <p key={words}>{words}</p>)}
            </li>
          );
        })}
      </ul>
    </details>
  );
}
