import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { change as sayChange } from "../../words/change";
import { changeStone as say } from "../../words/change-stone";
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
    </Page>
  );
}
