import type { Seen } from "../../store/catalogue";
import { retry, saveRecord, setAside } from "../../sync/commands";
import { publish as say } from "../../words/publish";
import { AskReason } from "./AskReason";
import { Blocks } from "./Blocks";

/** A slip that the service has not issued yet: it waits, or it was refused and says why. */
export function Underway({ slip }: { readonly slip: Seen<"slip"> }) {
  const { record, state, problem, sequence } = slip;
  const { stone_id, purpose, override_reason } = record;
  if (state !== "needs_you") {
    return (
      <div class="sheet" role="status">
        <h2>{say.waiting}</h2>
        <p>{say.waitingLead}</p>
        {override_reason !== null && <p class="soft">{say.waitingReason(override_reason)}</p>}
      </div>
    );
  }
  const blocks = (problem?.errors ?? []).map((error) => error.message);
  const notReady = problem?.code === "not_ready";
  const withReason = (reason: string): Promise<void> =>
    saveRecord("slip", record.id, { stone_id, purpose, override_reason: reason, notes: record.notes }, null);
  return (
    <div class="sheet needs-you" role="alert">
      <h2>{say.refused}</h2>
      <p>{problem?.detail || problem?.title}</p>
      {blocks.length > 0 && <Blocks blocks={blocks} stoneId={stone_id} purpose={purpose} />}
      {notReady && override_reason === null && <AskReason onGo={withReason} onLater={null} />}
      {sequence !== null && (
        <div class="row">
          <button type="button" class="button" onClick={() => retry(sequence)}>{say.retry}</button>
          <button type="button" class="button button-plain" onClick={() => setAside(sequence)}>{say.drop}</button>
        </div>
      )}
    </div>
  );
}
