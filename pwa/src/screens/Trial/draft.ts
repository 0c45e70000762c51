/**
 * A trial while it is being made: what the draft holds, what is still missing, and the record it becomes.
 *
 * Pure. The draft is flat ("grades.hardness": 3.5), because each value is kept by itself the moment
 * it is set. The protocol lies in the draft as it was when the trial began: a trial belongs to one
 * version, and the club may have changed the protocol, or the phone may hold nothing newer, by the
 * time it is finished.
 */
import type {
  Face, GradeScale, GritBand, ObservationAsked, ObservationValue, OwnFields, PhotoUse, Protocol, ProtocolStep,
} from "../../domain/records";
import { cameraOf, toRecord, type CameraReading } from "./camera";

type Values = Readonly<Record<string, unknown>>;

export interface TrialDraft {
  readonly protocol: Protocol | null;
  readonly blade_id: string | null;
  readonly face: Face | null;
  readonly thickness_mm: number | null;
  /** Where the tester is: a step's id, "review", or null before the first step. */
  readonly at: string | null;
  /** Only the steps that record something, for somebody who knows the protocol by heart. */
  readonly brief: boolean;
  readonly started_at: string | null;
  readonly observations: Readonly<Record<string, ObservationValue>>;
  readonly grades: Readonly<Record<string, number>>;
  /** Running timers and stopwatches: name to the moment they were started, epoch ms. */
  readonly timers: Readonly<Record<string, number>>;
  readonly counts: Readonly<Record<string, number>>;
  readonly photos: readonly PhotoUse[];
  readonly camera: CameraReading;
}

const under = (values: Values, prefix: string): [string, unknown][] =>
  Object.entries(values)
    .filter(([name]) => name.startsWith(`${prefix}.`))
    .map(([name, value]) => [name.slice(prefix.length + 1), value]);

const numbers = (entries: [string, unknown][]): Record<string, number> =>
  Object.fromEntries(entries.filter((entry): entry is [string, number] => typeof entry[1] === "number"));

export function readTrialDraft(values: Values): TrialDraft {
  const text = (name: string): string | null => (typeof values[name] === "string" ? values[name] : null);
  const face = text("face");
  return {
    protocol: (values["protocol"] as Protocol | undefined) ?? null,
    blade_id: text("blade_id"),
    face: face === "front" || face === "back" ? face : null,
    thickness_mm: typeof values["thickness_mm"] === "number" ? values["thickness_mm"] : null,
    at: text("at"),
    brief: values["brief"] === true,
    started_at: text("started_at"),
    observations: Object.fromEntries(under(values, "observations")) as Record<string, ObservationValue>,
    grades: numbers(under(values, "grades")),
    timers: numbers(under(values, "timers")),
    counts: numbers(under(values, "counts")),
    photos: (values["photos"] as readonly PhotoUse[] | undefined) ?? [],
    camera: cameraOf(values),
  };
}

/** What one step asks for, in the protocol's order. */
export interface Asked {
  readonly observations: readonly ObservationAsked[];
  readonly scales: readonly GradeScale[];
}

export function askedAt(step: ProtocolStep, protocol: Protocol): Asked {
  const by = new Set(step.records);
  return {
    observations: protocol.observations.filter((o) => by.has(o.id)),
    scales: protocol.scales.filter((s) => by.has(s.id)),
  };
}

export const lastStepId = "also-asked";

/**
 * The steps to walk through. Whatever the protocol asks for without giving it a step gets one at
 * the end: a required answer that cannot be reached could never be given.
 */
export function stepsOf(protocol: Protocol, brief: boolean): ProtocolStep[] {
  const placed = new Set(protocol.steps.flatMap((step) => step.records));
  const homeless = [...protocol.observations, ...protocol.scales].map((item) => item.id).filter((id) => !placed.has(id));
  const steps: ProtocolStep[] = homeless.length === 0
    ? [...protocol.steps]
    : [...protocol.steps, { id: lastStepId, title: "", text: "", conditions: [], timer_s: null, counter: null, records: homeless }];
  return brief ? steps.filter((step) => step.records.length > 0) : steps;
}

export const answered = (value: ObservationValue | undefined): boolean =>
  value !== undefined && value !== null && !(typeof value === "string" && value.trim() === "");

/** Something the review names: what it is called, and the step where it is set. */
export interface OpenItem {
  readonly id: string;
  readonly name: string;
  /** A step's id, or "setup". */
  readonly at: string;
}

function whereOf(id: string, protocol: Protocol): string {
  return protocol.steps.find((step) => step.records.includes(id))?.id ?? lastStepId;
}

/** What has to be there before the trial can be saved. In the order in which it is met. */
export function missing(draft: TrialDraft, words: { blade: string; face: string; grade: string }): OpenItem[] {
  const protocol = draft.protocol;
  const open: OpenItem[] = [];
  if (draft.blade_id === null) open.push({ id: "blade_id", name: words.blade, at: "setup" });
  if (draft.face === null) open.push({ id: "face", name: words.face, at: "setup" });
  if (protocol === null) return open;
  for (const asked of protocol.observations) {
    if (asked.required && !answered(draft.observations[asked.id])) {
      open.push({ id: asked.id, name: asked.name, at: whereOf(asked.id, protocol) });
    }
  }
  const first = protocol.scales[0];
  if (first && !protocol.scales.some((scale) => draft.grades[scale.id] !== undefined)) {
    open.push({ id: first.id, name: words.grade, at: whereOf(first.id, protocol) });
  }
  return open;
}

/** What may stay open, but is named, so that it is left open knowingly. */
export function leftOpen(draft: TrialDraft): OpenItem[] {
  const protocol = draft.protocol;
  if (protocol === null) return [];
  return [
    ...protocol.observations.filter((asked) => !asked.required && asked.kind !== "text" && !answered(draft.observations[asked.id])),
    ...protocol.scales.filter((scale) => draft.grades[scale.id] === undefined),
  ].map((item) => ({ id: item.id, name: item.name, at: whereOf(item.id, protocol) }));
}

/** The record, once nothing is missing; null before. Answers to nothing that is asked do not travel. */
export function toTrial(draft: TrialDraft, stone_id: string, finished_at: string): OwnFields<"trial"> | null {
  const { protocol, blade_id, face } = draft;
  if (protocol === null || blade_id === null || face === null) return null;
  const observations = Object.fromEntries(
    protocol.observations
      .filter((asked) => answered(draft.observations[asked.id]))
      .map((asked) => [asked.id, trimmed(draft.observations[asked.id])]),
  );
  const grades = Object.fromEntries(
    protocol.scales.flatMap((scale) => {
      const grade = draft.grades[scale.id];
      return grade === undefined ? [] : [[scale.id, grade]];
    }),
  );
  const camera = toRecord(draft.camera);
  return {
    stone_id,
    blade_id,
    protocol_id: protocol.id,
    protocol_version: protocol.version,
    face,
    thickness_mm: draft.thickness_mm,
    started_at: draft.started_at ?? finished_at,
    finished_at,
    observations,
    grades,
    photos: [...draft.photos, ...camera.photos],
    notes: camera.notes,
  };
}

const trimmed = (value: ObservationValue | undefined): ObservationValue =>
  typeof value === "string" ? value.trim() : value ?? null;

/** What the next blade on the same stone starts from: the same bench, none of the answers. */
export function nextBlade(draft: TrialDraft): Values {
  return {
    protocol: draft.protocol,
    face: draft.face,
    ...(draft.thickness_mm === null ? {} : { thickness_mm: draft.thickness_mm }),
    // Whoever has just walked through every step has no need to be shown the reading ones again.
    brief: true,
  };
}

/**
 * Whether a step's one answer leads on by itself: for somebody who knows the protocol by heart, where the answer is a
 * single tap, nothing else can be set there, and no begun count of strokes is short of its target.
 */
export function leadsOn(step: ProtocolStep, draft: TrialDraft): boolean {
  if (!draft.brief || draft.protocol === null) return false;
  const { observations, scales } = askedAt(step, draft.protocol);
  const [only] = observations;
  if (only === undefined || observations.length > 1 || scales.length > 0 || photoViewsAt(step).length > 0) return false;
  const count = draft.counts[step.id] ?? 0;
  if (step.counter !== null && count > 0 && count < step.counter.target) return false;
  return only.kind === "choice" || only.kind === "yes_no" || only.unit === "s";
}

/** Mud and finish are looked at where their shade and their look are asked; there a photo costs one tap. */
export const photoViewsAt = ({ records }: ProtocolStep): ("mud" | "finish")[] => [
  ...(records.includes("mud_shade") ? ["mud" as const] : []),
  ...(records.includes("contrast") ? ["finish" as const] : []),
];

/** Stopwatches that run on while the tester is at another step. */
export function runningWatches(draft: TrialDraft): { asked: ObservationAsked; startedAt: number }[] {
  return (draft.protocol?.observations ?? []).flatMap((asked) => {
    const startedAt = draft.timers[asked.id];
    return startedAt === undefined ? [] : [{ asked, startedAt }];
  });
}

export const isBand = (value: ObservationValue | undefined): value is GritBand =>
  typeof value === "object" && value !== null;
