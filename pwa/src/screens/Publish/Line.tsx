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
  const underway = slips.find(({ record }) => !isIssued(record) && record.withdrawn === null);
  const link = { href: `/stones/${stoneId}/publish?purpose=${purpose}`, before: props.named ? `${purposes[purpose]}. ` : "" };
  if (underway !== undefined) {
    const refused = underway.state === "needs_you";
    return <Told {...link} hand={refused} what={refused ? say.refused : say.waiting} go={say.see} />;
  }
  return current === null
    ? <Unpublished link={link} stoneId={stoneId} purpose={purpose} />
    : <Published link={link} slip={current} />;
}

interface Link {
  readonly href: string;
  /** The purpose, where the stone has several. */
  readonly before: string;
}

function Told(props: Link & { readonly what: string; readonly go: string; readonly also?: string; readonly hand?: boolean }) {
  return (
    <a class={props.hand ? `${styles.line} ${styles.hand}` : styles.line} href={props.href}>
      <strong>{props.before}{props.what}</strong>
      {props.also !== undefined && <span class={styles.also}>{props.also}</span>}
      <span>{props.go}</span>
    </a>
  );
}

function Published({ link, slip }: { readonly link: Link; readonly slip: PublishView["slips"][number] }) {
  const view = useView(readMovedSlips, [slip.record.id]);
  const moved = view?.kind === "here" ? movedWords(slip.record, view.value.items) : [];
  const what = say.published(day(slip.record.issued_on), slip.record.code);
  return moved.length === 0
    ? <Told {...link} what={what} go={say.see} />
    : <Told {...link} hand what={what} also={say.moved(moved.join(" "))} go={say.see} />;
}

function Unpublished({ link, stoneId, purpose }: { readonly link: Link; readonly stoneId: string; readonly purpose: Purpose }) {
  const view = useView(() => readReadiness(stoneId, purpose), [stoneId, purpose]);
  if (view?.kind !== "here") return <Told {...link} what={say.none} go={say.see} />;
  const { ready, blocks } = view.value;
  return <Told {...link} what={ready ? say.ready : say.blocked(blocks.length)} go={ready ? say.publish : say.why} />;
}
