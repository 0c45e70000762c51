import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { readDraft } from "../../store/drafts";
import { useLive } from "../../store/live";
import { dropDraft } from "../../sync/commands";
import { change as sayChange } from "../../words/change";
import { changeStone as say } from "../../words/change-stone";
import { changeKey } from "../changeKey";
import type { Fate } from "./read";

/** After a change or a withdrawal: where it stands. */
export function Saved({ id, fate }: { readonly id: string; readonly fate: Fate }) {
  const states = [fate.stone?.state ?? "sent", fate.offer?.state ?? "sent"];
  const state = states.find((one) => one === "needs_you") ?? states.find((one) => one === "waiting") ?? "sent";
  const withdrawn = fate.stone?.record.withdrawn ?? null;
  return (
    <Page actions={<a class="button button-main" href={`/stones/${id}`}>{say.toStone}</a>}>
      <Head title={withdrawn === null ? say.saved : sayChange.withdrawn(withdrawn.reason)}>
        <p><strong>{fate.stone?.record.code}</strong></p>
        <StateBadge state={state} />
        <p>{withdrawn === null ? sayChange.savedLead : say.withdrawn}</p>
      </Head>
      {withdrawn !== null && <LeftOver id={id} />}
    </Page>
  );
}

/** After withdrawing a stone that the service never had. */
export function SetAside({ id, code }: { readonly id: string; readonly code: string }) {
  return (
    <Page actions={<a class="button button-main" href="/stones">{say.toStones}</a>}>
      <Head title={say.setAside(code)}>
        <p>{say.setAsideLead} <a href="/me">{say.toMe}</a></p>
      </Head>
      <LeftOver id={id} />
    </Page>
  );
}

/** A change that was half typed has nothing to go to any more; it goes when its writer says so. */
function LeftOver({ id }: { readonly id: string }) {
  const draft = useLive(() => readDraft(changeKey(id)), [id]) ?? null;
  if (draft === null) return null;
  return (
    <section class="sheet" aria-label={say.leftOver}>
      <p>{say.leftOver}</p>
      <p><button type="button" class="button" onClick={() => void dropDraft(draft.key)}>{sayChange.drop}</button></p>
    </section>
  );
}
