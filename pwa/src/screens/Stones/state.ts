/** What a member should know of a stone at a glance, worked out from the records this phone holds. Pure. */
import type { Face, Inspection, Trial, Urgency, Verdict } from "../../domain/records";

export type StoneState = "needs_hand" | "to_inspect" | "not_tried" | "tried";

/** All states of one stone; a stone can both need a hand and be tried. */
export interface StoneStanding {
  readonly states: ReadonlySet<StoneState>;
  /** The one to show in a row: what asks for most comes first. */
  readonly chief: StoneState;
  readonly urgency: Urgency;
  /** The most urgent verdict's word, when it asks for work. */
  readonly verdict: string | null;
  readonly n_own_trials: number;
}

const rank: Readonly<Record<Urgency, number>> = { none: 0, watch: 1, soon: 2, before_use: 3, reject: 4 };

export const asksForWork = (urgency: Urgency): boolean => rank[urgency] >= rank.soon;

/** The latest inspection of each face: an earlier one no longer speaks for the stone. */
export function latestByFace(inspections: readonly Inspection[]): Partial<Record<Face, Inspection>> {
  const latest: Partial<Record<Face, Inspection>> = {};
  for (const inspection of inspections) {
    if (inspection.withdrawn !== null) continue;
    const present = latest[inspection.face];
    if (present === undefined || inspection.inspected_at > present.inspected_at) latest[inspection.face] = inspection;
  }
  return latest;
}

export function worst(verdicts: readonly Verdict[]): Verdict | null {
  return verdicts.reduce<Verdict | null>(
    (most, verdict) => (most === null || rank[verdict.urgency] > rank[most.urgency] ? verdict : most),
    null,
  );
}

/**
 * @param inspections all of this stone
 * @param trials all of this stone that the phone holds (a dealer's phone holds everybody's)
 * @param verdictsOf an inspection's verdicts: the service's, or the phone's own while it waits
 */
export function standing(
  inspections: readonly Inspection[],
  trials: readonly Trial[],
  memberId: string,
  verdictsOf: (inspection: Inspection) => readonly Verdict[],
): StoneStanding {
  const latest = Object.values(latestByFace(inspections));
  const most = worst(latest.flatMap((inspection) => [...verdictsOf(inspection)]));
  const urgency = most?.urgency ?? "none";
  const own = trials.filter((trial) => trial.created_by === memberId && trial.withdrawn === null).length;

  const states = new Set<StoneState>();
  if (asksForWork(urgency)) states.add("needs_hand");
  if (latest.length === 0) states.add("to_inspect");
  states.add(own === 0 ? "not_tried" : "tried");

  const order: readonly StoneState[] = ["needs_hand", "to_inspect", "not_tried", "tried"];
  return {
    states,
    chief: order.find((state) => states.has(state)) ?? "tried",
    urgency,
    verdict: asksForWork(urgency) ? most?.verdict ?? null : null,
    n_own_trials: own,
  };
}

/** A search as people type it: every word has to be found somewhere, whatever the case. */
export function matches(search: string, texts: readonly string[]): boolean {
  const hay = texts.join(" ").toLowerCase();
  const plain = hay.replace(/[\s-]/g, "");
  return search.toLowerCase().split(/\s+/).filter((word) => word !== "")
    .every((word) => hay.includes(word) || plain.includes(word.replace(/-/g, "")));
}
