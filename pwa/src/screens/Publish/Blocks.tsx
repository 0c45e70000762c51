import { mendOf } from "../../domain/publishing";
import type { Purpose } from "../../domain/records";
import { publish as say } from "../../words/publish";
import styles from "./style.module.css";

/** What stands in the way, sorted by what mends it, with the way there. */
export function Blocks(props: { readonly blocks: readonly string[]; readonly stoneId: string; readonly purpose: Purpose }) {
  const work = props.blocks.filter((block) => mendOf(block) === "work");
  const trials = props.blocks.filter((block) => mendOf(block) === "trials");
  return (
    <div class={styles.mends}>
      {work.length > 0 && (
        <Mend name={say.byWork} blocks={work} href={`/work?stone=${props.stoneId}`} go={say.toWork} />
      )}
      {trials.length > 0 && (
        <Mend name={say.byTrials} blocks={trials} href={`/plan?purpose=${props.purpose}&stone=${props.stoneId}`} go={say.toPlan} />
      )}
    </div>
  );
}

function Mend(props: { readonly name: string; readonly blocks: readonly string[]; readonly href: string; readonly go: string }) {
  return (
    <div class="stack">
      <p class="soft">{props.name}</p>
      <ul class={styles.blocks}>{props.blocks.map((block) => <li key={block}>{block}</li>)}</ul>
      <p><a class="button" href={props.href}>{props.go}</a></p>
    </div>
  );
}
