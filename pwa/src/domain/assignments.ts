/** Which asked trials are still to be done, and who has which stone. Pure. */
import type { Assignment, Blade, HandOver, Protocol, Purpose, Trial } from "./records";

/** What it takes to know what a trial was for. Withdrawn ones too: trials made with them still count. */
export interface Known {
  readonly protocols: readonly Pick<Protocol, "id" | "purpose">[];
  readonly blades: readonly Pick<Blade, "id" | "steel">[];
}

/**
 * An assignment is open until its tester has finished a trial of that stone, for that purpose and with that steel if
 * one was named, after it was made. A trial that was there before is what the dealer already knew when asking; one that
 * is left out of the pooling was done all the same.
 */
export function openAssignments(assignments: readonly Assignment[], trials: readonly Trial[], { protocols, blades }: Known): Assignment[] {
  const purposeOf = new Map(protocols.map(({ id, purpose }) => [id, purpose]));
  const steelOf = new Map(blades.map(({ id, steel }) => [id, steel]));
  const answers = (trial: Trial, asked: Assignment): boolean =>
    trial.withdrawn === null &&
    trial.created_by === asked.tester_id &&
    trial.stone_id === asked.stone_id &&
    purposeOf.get(trial.protocol_id) === asked.purpose &&
    (asked.steel === null || steelOf.get(trial.blade_id) === asked.steel) &&
    Date.parse(trial.finished_at) > Date.parse(asked.created_at);
  return assignments.filter((asked) => asked.withdrawn === null && !trials.some((trial) => answers(trial, asked)));
}

/** First what is due first, then what was asked first; without a day comes last. */
export const byUrgency = (a: Assignment, b: Assignment): number =>
  (a.due_on ?? "9999").localeCompare(b.due_on ?? "9999") || Date.parse(a.created_at) - Date.parse(b.created_at) || a.id.localeCompare(b.id);

/** The last hand-over of each stone. A stone without one, or with holder_id null, is with the dealer. */
export function lastHandOvers(handOvers: readonly HandOver[]): ReadonlyMap<string, HandOver> {
  const last = new Map<string, HandOver>();
  for (const one of handOvers) {
    if (one.withdrawn !== null) continue;
    const other = last.get(one.stone_id);
    const later = other === undefined ? 1 : Date.parse(one.handed_at) - Date.parse(other.handed_at) || (one.id > other.id ? 1 : -1);
    if (later > 0) last.set(one.stone_id, one);
  }
  return last;
}

interface Wanted {
  readonly tester_id: string;
  readonly stone_id: string;
  readonly steel: string;
}

/** Whether the tester has made this trial since then: same stone, same purpose, same steel. */
export function isDoneSince(since: string, { tester_id, stone_id, steel }: Wanted, purpose: Purpose, trials: readonly Trial[], { protocols, blades }: Known): boolean {
  const purposeOf = new Map(protocols.map((one) => [one.id, one.purpose]));
  const steelOf = new Map(blades.map((one) => [one.id, one.steel]));
  return trials.some((trial) =>
    trial.withdrawn === null && trial.created_by === tester_id && trial.stone_id === stone_id &&
    Date.parse(trial.finished_at) > Date.parse(since) && purposeOf.get(trial.protocol_id) === purpose && steelOf.get(trial.blade_id) === steel);
}

/** The assignment that asks for this trial, if one does. */
export const askingFor = (assignments: readonly Assignment[], { tester_id, stone_id, steel }: Wanted, purpose: Purpose): Assignment | undefined =>
  assignments.find((asked) =>
    asked.tester_id === tester_id && asked.stone_id === stone_id && asked.purpose === purpose && (asked.steel === null || asked.steel === steel));
