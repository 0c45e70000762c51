import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Protocol } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { readOne } from "../../store/catalogue";
import { readDraft } from "../../store/drafts";
import { readProtocolVersion } from "../../sync/views";
import { change as say } from "../../words/change";
import { changeKey } from "../changeKey";
import { useDraftForm, type DraftForm, type Start } from "../useDraftForm";
import { valuesOfTrial } from "./changed";

type Found = { readonly kind: "found"; readonly start: Start } | { readonly kind: "not_here" | "no_protocol" };

/** The protocol as the trial names it: from this phone if it is still the current one, else from the service. */
async function protocolOf(id: string, version: number): Promise<Protocol | null> {
  const held = (await readOne("protocol", id))?.record ?? null;
  if (held?.version === version) return held;
  const view = await readProtocolVersion(id, version);
  return view.kind === "here" ? view.value : null;
}

async function find(trialId: string): Promise<Found> {
  const trial = (await readOne("trial", trialId))?.record ?? null;
  if (trial === null) return { kind: "not_here" };
  // A change that was begun holds its protocol already, so it goes on without a signal.
  const begun = await readDraft(changeKey(trialId));
  if (begun !== null) return { kind: "found", start: { record_id: trialId, values: begun.values } };
  const protocol = await protocolOf(trial.protocol_id, trial.protocol_version);
  if (protocol === null) return { kind: "no_protocol" };
  return { kind: "found", start: { record_id: trialId, values: valuesOfTrial(trial, protocol) } };
}

/** The trial's form filled with a record that is there already. */
export function ChangeTrial(props: { stoneId: string; trialId: string; children: (form: DraftForm) => ComponentChildren }) {
  const { stoneId, trialId } = props;
  const [found, setFound] = useState<Found | null>(null);
  useEffect(() => {
    let current = true;
    void find(trialId).then((next) => {
      if (current) setFound(next);
    });
    return () => { current = false; };
  }, [trialId]);
  if (found === null) return <Page><p class="soft">{say.reading}</p></Page>;
  if (found.kind !== "found") {
    return (
      <Page>
        <Head back={{ href: `/stones/${stoneId}`, words: say.back }} title={say.cannot} />
        <p>{found.kind === "not_here" ? say.notHere : say.noProtocol}</p>
      </Page>
    );
  }
  return <Filled stoneId={stoneId} trialId={trialId} start={found.start}>{props.children}</Filled>;
}

function Filled(props: { stoneId: string; trialId: string; start: Start; children: (form: DraftForm) => ComponentChildren }) {
  const form = useDraftForm({ key: changeKey(props.trialId), kind: "trial", about_id: props.stoneId, start: props.start });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <>{props.children(form)}</>;
}
