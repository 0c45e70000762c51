/** Whether a stone's grades may be published, and what became of those that were. Nothing here is written back. */
import type { StoneGrade } from "./pooled";
import type { Purpose, Slip } from "./records";

/** A stone's grade on one scale, with the scale. */
export interface ReadyGrade extends Omit<StoneGrade, "stone_id"> {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
}

/** What the service says of publishing a stone just now. */
export interface Readiness {
  readonly purpose: Purpose;
  readonly ready: boolean;
  /** Sentences that say what stands in the way. */
  readonly blocks: readonly string[];
  readonly grades: readonly ReadyGrade[];
}

/** One scale of a slip that later trials have moved by a step or more. */
export interface MovedSlip {
  readonly slip_id: string;
  readonly stone_id: string;
  readonly purpose: Purpose;
  readonly scale: string;
  readonly published: number;
  readonly now: number;
}

/** Where one can go to mend what stands in the way. */
export type Mend = "work" | "trials";

/**
 * Which way mends a block. Open work is told as "Relieve below the face (front): because"; everything else, too few
 * testers or steels, an interval too wide, groups apart, is mended by trials.
 */
export const mendOf = (block: string): Mend => (/^[^:.]+ \((front|back)\): /.test(block) ? "work" : "trials");

export type SlipState =
  /** On this phone, not yet issued. */
  | "waiting"
  /** The service did not issue it. */
  | "refused"
  | "current"
  /** A later slip of the same stone and purpose stands. */
  | "followed"
  /** Current, but later trials have moved a grade. */
  | "moved"
  | "withdrawn";

/** A slip as a screen tells it apart; the store's reading satisfies it. */
export interface SeenSlip {
  readonly record: Slip;
  readonly state: "sent" | "waiting" | "needs_you";
}

/** Issued by the service: it has a code, whatever else about it still waits here. */
export const isIssued = (slip: Pick<Slip, "code">): boolean => slip.code !== "";

/** UUIDv7 ids sort by time of making, so the latest slip of a purpose is the one with the greatest id. */
export function latestOf<S extends SeenSlip>(slips: readonly S[], purpose: Purpose): S | null {
  const standing = slips.filter(({ record }) => record.purpose === purpose && record.withdrawn === null && isIssued(record));
  return standing.reduce<S | null>((best, one) => (best === null || one.record.id > best.record.id ? one : best), null);
}

export function stateOf(slip: SeenSlip, all: readonly SeenSlip[], moved: readonly MovedSlip[]): SlipState {
  const { record, state } = slip;
  if (!isIssued(record)) return state === "needs_you" ? "refused" : "waiting";
  if (record.withdrawn !== null) return "withdrawn";
  if (latestOf(all, record.purpose)?.record.id !== record.id) return "followed";
  return moved.some((one) => one.slip_id === record.id) ? "moved" : "current";
}

/** How many slips ask to be issued anew; a slip that moved on two scales is one. */
export const countToReissue = (moved: readonly MovedSlip[]): number => new Set(moved.map((one) => one.slip_id)).size;
