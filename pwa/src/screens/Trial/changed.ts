/**
 * Changing a trial that is there already: the form begins with the record's own values, and what the form
 * does not ask for (notes, when it was finished) goes back as it was. Pure.
 */
import type { OwnFields, Protocol, Trial } from "../../domain/records";
import { readTrialDraft, toTrial } from "./draft";

type Values = Readonly<Record<string, unknown>>;

/** What the draft remembers of the record it changes. */
export interface ChangedTrial {
  readonly id: string;
  /** The version the change was begun on; 0: the record has not been sent. */
  readonly base: number;
  /** When that state was written down. */
  readonly made_on: string | null;
  readonly finished_at: string;
  readonly notes: string;
}

/** @param protocol the version that the trial names, so that its answers fit the questions */
export function valuesOfTrial(trial: Trial, protocol: Protocol): Values {
  const changes: ChangedTrial = { id: trial.id, base: trial.version, made_on: trial.recorded_at, finished_at: trial.finished_at, notes: trial.notes };
  const under = (prefix: string, map: Readonly<Record<string, unknown>>): [string, unknown][] =>
    Object.entries(map).filter(([, value]) => value !== null).map(([name, value]) => [`${prefix}.${name}`, value]);
  return {
    changes,
    protocol,
    blade_id: trial.blade_id,
    face: trial.face,
    ...(trial.thickness_mm === null ? {} : { thickness_mm: trial.thickness_mm }),
    started_at: trial.started_at,
    at: "review",
    ...(trial.photos.length === 0 ? {} : { photos: trial.photos }),
    ...Object.fromEntries(under("observations", trial.observations)),
    ...Object.fromEntries(under("grades", trial.grades)),
  };
}

export const readChanged = (values: Values): ChangedTrial | null => (values["changes"] as ChangedTrial | undefined) ?? null;

/** The record as it shall be from now on; null while something is missing. */
export function toChangedTrial(values: Values, stoneId: string): OwnFields<"trial"> | null {
  const changed = readChanged(values);
  const record = changed === null ? null : toTrial(readTrialDraft(values), stoneId, changed.finished_at);
  if (changed === null || record === null) return null;
  // The form writes notes of its own only when the camera has read the mud anew.
  return { ...record, notes: [changed.notes, record.notes].filter((part) => part !== "").join("\n") };
}
