import type { PhotoUse } from "../../domain/records";
import { StateBadge } from "../../parts/StateBadge";
import type { Seen } from "../../store/catalogue";
import { verdict as sayVerdict } from "../../words/parts";
import { work as say } from "../../words/work";
import { day, findingKinds, photoViews } from "../../words/trade";
import { usePhotoUrl } from "../usePhotoUrl";
import type { WorkView } from "./read";
import styles from "./style.module.css";

/** One repair on record: what, by whom, when, with what, and how it looked. */
export function Answered({ seen, view }: { seen: Seen<"repair">; view: WorkView }) {
  const { record, state, problem } = seen;
  const stone = view.stones.get(record.stone_id);
  const findings = view.inspections.get(record.inspection_id)?.findings ?? [];
  const at = findings.findIndex((finding) => finding.id === record.finding_id);
  const finding = findings[at];
  const who = (record.created_by === null ? undefined : view.names.get(record.created_by)) ?? say.unknownMember;
  return (
    <article class={`sheet ${state === "needs_you" ? "needs-you" : ""}`}>
      <div class="spread">
        <h2><a href={`/stones/${record.stone_id}`}>{stone?.code ?? ""}</a> {sayVerdict.named(record.verdict)}</h2>
        <StateBadge state={state} />
      </div>
      <p>
        <strong>{record.outcome === "done" ? say.wasDone : say.wasNotNeeded}</strong>, {day(record.done_at)} {say.by(who)}.
        {" "}{finding ? say.finding(at + 1, findingKinds[finding.kind]) : say.wholeFace}.
      </p>
      {record.with_what !== "" && <p>{say.withWhat}: {record.with_what}</p>}
      {record.notes !== "" && <p>{record.notes}</p>}
      {record.photos.length > 0 && <ul class={styles.shots}>{record.photos.map((photo) => <Shot key={`${photo.view} ${photo.sha256}`} photo={photo} />)}</ul>}
      {state === "needs_you" && problem && <p>{problem.detail || problem.title}</p>}
    </article>
  );
}

function Shot({ photo }: { photo: PhotoUse }) {
  const thumb = usePhotoUrl(photo.sha256, "thumb");
  const full = usePhotoUrl(photo.sha256, "full");
  return (
    <li>
      <a href={full ?? undefined} target="_blank" rel="noopener">
        {thumb !== null && <img src={thumb} alt={say.photo(photoViews[photo.view])} loading="lazy" />}
      </a>
      <span class="note">{photoViews[photo.view]}</span>
    </li>
  );
}
