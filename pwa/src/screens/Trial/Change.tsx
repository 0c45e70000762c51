import type { ComponentChildren } from "preact";
import type { Protocol } from "../../domain/records";
import { readOne } from "../../store/catalogue";
import { readDraft } from "../../store/drafts";
import { readProtocolVersion } from "../../sync/views";
import { change as say } from "../../words/change";
import { changeKey } from "../changeKey";
import { ChangeRecord } from "../ChangeRecord";
import type { DraftForm, Start } from "../useDraftForm";
import { valuesOfTrial } from "./changed";

/** The protocol as the trial names it: from this phone if it is still the current one, else from the service. */
async function protocolOf(id: string, version: number): Promise<Protocol | null> {
  const held = (await readOne("protocol", id))?.record ?? null;
  if (held?.version === version) return held;
  const view = await readProtocolVersion(id, version);
  return view.kind === "here" ? view.value : null;
}

async function find(trialId: string): Promise<Start | { readonly cannot: string }> {
  const trial = (await readOne("trial", trialId))?.record ?? null;
  if (trial === null) return { cannot: say.notHere };
  // A change that was begun holds its protocol already, so it goes on without a signal.
  const begun = await readDraft(changeKey(trialId));
  if (begun !== null) return { record_id: trialId, values: begun.values };
  const protocol = await protocolOf(trial.protocol_id, trial.protocol_version);
  return protocol === null ? { cannot: say.noProtocol } : { record_id: trialId, values: valuesOfTrial(trial, protocol) };
}

/** The trial's form filled with a record that is there already. */
export function ChangeTrial({ stoneId, trialId, children }: { stoneId: string; trialId: string; children: (form: DraftForm) => ComponentChildren }) {
  return <ChangeRecord kind="trial" stoneId={stoneId} recordId={trialId} find={() => find(trialId)}>{children}</ChangeRecord>;
}
