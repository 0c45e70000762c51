import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import type { Inspection } from "../../domain/records";
import { BLOCKS_PUBLICATION, type WorkItem } from "../../domain/soundness/work";
import { Caution, UrgencySign } from "../../parts/VerdictCard";
import { useLive } from "../../store/live";
import { readDraft } from "../../store/drafts";
import { openDraft } from "../../sync/commands";
import { verdict as sayVerdict } from "../../words/parts";
import { work as say } from "../../words/work";
import { asksForALook, itemKey } from "./list";
import { RepairForm } from "./RepairForm";
import styles from "./style.module.css";

/** One thing to do: why, how urgent, what to mind, and the ways to answer it. */
export function Item(props: { item: WorkItem; inspection: Inspection; mayDeal: boolean; saidAbove: boolean }) {
  const { item, inspection } = props;
  const [open, setOpen] = useState<"done" | "not_needed" | null>(null);
  const draft = useLive(() => readDraft(itemKey(item)), [itemKey(item)]);
  const n = inspection.findings.findIndex((finding) => finding.id === item.finding_id) + 1;
  return (
    <article class={styles.item}>
      <UrgencySign urgency={item.urgency} />
      <div class={styles.body}>
        <h2 class={styles.title}>
          {sayVerdict.named(item.verdict)} {n > 0 && <span class={styles.which}>{sayVerdict.finding(n)}</span>}
        </h2>
        <p class={styles.urgency}>{sayVerdict.urgency[item.urgency]}</p>
        <p>{item.because}</p>
        {item.caution !== null && <Caution text={props.saidAbove ? sayVerdict.asAbove : item.caution} />}
        {BLOCKS_PUBLICATION.includes(item.urgency) && <p class="note">{say.blocks}</p>}
        {open === null && (
          <div class="row">
            {asksForALook(item) && <InspectAgain item={item} />}
            {item.rule_id !== null && !asksForALook(item) && (
              <button type="button" class="button button-main" onClick={() => setOpen("done")}>{draft ? say.goOn : say.done}</button>
            )}
            {item.rule_id !== null && props.mayDeal && (
              <button type="button" class="button" onClick={() => setOpen("not_needed")}>{say.notNeeded}</button>
            )}
          </div>
        )}
        {open !== null && <RepairForm item={item} outcome={open} onClose={() => setOpen(null)} />}
      </div>
    </article>
  );
}

/** Leads to the inspection of the face that was worked on. */
function InspectAgain({ item }: { item: WorkItem }) {
  const { route } = useLocation();
  const href = `/stones/${item.stone_id}/inspect`;
  const go = async (event: MouseEvent): Promise<void> => {
    event.preventDefault();
    // Begins the inspection at this face; one that is under way is left as it is.
    await openDraft({ key: `inspection:${item.stone_id}`, kind: "inspection", about_id: item.stone_id, values: { face: item.face } });
    route(href);
  };
  return <a class="button button-main" href={href} onClick={item.face === "front" ? undefined : go}>{say.again}</a>;
}
