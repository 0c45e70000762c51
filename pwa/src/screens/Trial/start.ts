/** What a new trial begins with: whatever leaves no choice, or was chosen the last time. Never an answer. Pure. */

import type { Blade, Protocol, Trial } from "../../domain/records";
import type { DraftForm, Values } from "../useDraftForm";

interface Known {
  readonly protocols: readonly Protocol[];
  readonly blades: readonly Blade[];
  readonly ownTrials: readonly Trial[];
}

/** Whoever has made a trial by this very version needs no reading steps; a tick in the set-up brings them back. */
export const knowsByHeart = (protocol: Protocol, ownTrials: readonly Trial[]): boolean =>
  ownTrials.some(({ protocol_id, protocol_version }) => protocol_id === protocol.id && protocol_version === protocol.version);

/**
 * The protocol that a link names, else the only one, else the one of the last own trial; with it, whether the steps
 * that record nothing are left out. A blade only from a link: the wrong blade on a record is not seen later.
 */
export function startOf({ protocols, blades, ownTrials }: Known, wanted: { readonly protocol: string | undefined; readonly blade: string | undefined }): Values {
  const last = ownTrials.reduce<Trial | null>((a, b) => (a === null || Date.parse(b.finished_at) > Date.parse(a.finished_at) ? b : a), null);
  const protocol = protocols.find(({ id }) => id === wanted.protocol)
    ?? (protocols.length === 1 ? protocols[0] : protocols.find(({ id }) => id === last?.protocol_id));
  if (protocol === undefined) return {};
  const blade = blades.find(({ id }) => id === wanted.blade);
  return {
    protocol,
    ...(knowsByHeart(protocol, ownTrials) ? { brief: true } : {}),
    ...(blade === undefined ? {} : { blade_id: blade.id }),
  };
}

/** The form with its start laid under it. Looking at it begins no draft; the first value that is set keeps the start too. */
export function started(form: DraftForm, known: Known, wanted: { readonly protocol: string | undefined; readonly blade: string | undefined } = { protocol: undefined, blade: undefined }): DraftForm {
  if (form.draft !== null || form.values["protocol"] !== undefined) return form;
  const start = startOf(known, wanted);
  if (start["protocol"] === undefined) return form;
  return { ...form, values: { ...start, ...form.values }, set: (changes) => form.set({ ...start, ...changes }) };
}
