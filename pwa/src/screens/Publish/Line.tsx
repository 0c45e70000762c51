import { isIssued, latestOf } from "../../domain/publishing";
import type { Purpose } from "../../domain/records";
import { useLive } from "../../store/live";
import { readMovedSlips, readReadiness, useView } from "../../sync/views";
import { publishLine as say } from "../../words/publish";
import { day, purposes } from "../../words/trade";
import { movedWords } from "./Issued";
import { readPublish, type PublishView } from "./read";
import styles from "./style.module.css";

/** Where a stone stands with publishing, a line for each purpose it was tried for; dealers and stewards only. */
export function PublishLine({ stoneId }: { readonly stoneId: string }) {
  const page = useLive(() => readPublish(stoneId), [stoneId]);
  if (page?.stone == null || !page.mayDeal || page.tried.length === 0) return null;
  return (
    <div class={styles.lines}>
      {page.tried.map((purpose) => <OneLine key={purpose} stoneId={stoneId} purpose={purpose} page={page} named={page.tried.length > 1} />)}
    </div>
  );
}

function OneLine(props: { readonly stoneId: string; readonly purpose: Purpose; readonly page: PublishView; readonly named: boolean }) {
  const { stoneId, purpose, page } = props;
  const slips = page.slips.filter(({ record }) => record.purpose === purpose);
  const current = latestOf(slips, purpose);
  const underway = slips.find(({ record }) => !isIssued(record));
  return (
    <a
      class={underway?.state === "needs_you" ? `${styles.line} ${styles.hand}` : styles.line}
      href={`/stones/${stoneId}/publish?purpose=${purpose}`}
    >
      {underway !== undefined
        ? <Told purpose={props.named ? purpose : null} what={underway.state === "needs_you" ? say.refused : say.waiting} go={say.see} />
        : current !== null
          ? <Published purpose={props.named ? purpose : null} slip={current} />
          : <Unpublished purpose={props.named ? purpose : null} ask={purpose} stoneId={stoneId} />}
    </a>
  );
}

function Told(props: { readonly purpose: Purpose | null; readonly what: string; readonly go: string }) {
  return (
    <>
      <strong>{props.purpose === null ? "" : `${purposes[props.purpose]}. `}{props.what}</strong>
      <span>{props.go}</span>
    </>
  );
}

function Published({ purpose, slip }: { readonly purpose: Purpose | null; readonly slip: PublishView["slips"][number] }) {
  const view = useView(readMovedSlips, [slip.record.id]);
  const moved = view?.kind === "here" ? movedWords(slip.record, view.value.items) : [];
  const what = say.published(day(slip.record.issued_on), slip.record.code);
  return <Told purpose={purpose} what={moved.length > 0 ? `${what}. ${say.moved(moved.join(" "))}` : what} go={say.see} />;
}

function Unpublished(props: { readonly purpose: Purpose | null; readonly ask: Purpose; readonly stoneId: string }) {
  const view = useView(() => readReadiness(props.stoneId, props.ask), [props.stoneId, props.ask]);
  if (view?.kind !== "here") return <Told purpose={props.purpose} what={say.none} go={say.see} />;
  const { ready, blocks } = view.value;
  return <Told purpose={props.purpose} what={ready ? say.ready : say.blocked(blocks.length)} go={ready ? say.publish : say.why} />;
}
