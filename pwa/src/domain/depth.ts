/**
 * How far a face has gone down since it was last tried. A stone is known only at its present face; deeper it can
 * differ. So beyond a depth the club sets, its grades ask for a trial that confirms them. Common practice, no source.
 * Pure.
 */
import type { Face, Inspection, Lapping, Trial } from "./records";

/** Until the club's own setting is on this phone. */
export const defaultConfirmDepthMm = 1;

/** Thickness of the whole stone, or stock off one face, at one moment. */
type Seen =
  | { readonly at: string; readonly kind: "thickness"; readonly mm: number }
  | { readonly at: string; readonly kind: "lapping"; readonly face: Face; readonly removed_mm: number };

export interface FaceGone {
  readonly face: Face;
  readonly gone_mm: number;
  /** A lapping of this face is on record since; else it is wear, or nobody wrote the lapping down. */
  readonly lapped: boolean;
  /** When the face was last tried. */
  readonly since: string;
}

export interface FaceHistory {
  readonly trials: readonly Pick<Trial, "face" | "finished_at" | "thickness_mm" | "withdrawn">[];
  readonly inspections: readonly Pick<Inspection, "inspected_at" | "thickness_mm" | "withdrawn">[];
  readonly lappings: readonly Pick<Lapping, "face" | "lapped_at" | "removed_um" | "thickness_after_mm" | "withdrawn">[];
}

function seenIn({ trials, inspections, lappings }: FaceHistory): Seen[] {
  const thickness = (at: string, mm: number | null): Seen[] => (mm === null ? [] : [{ at, kind: "thickness", mm }]);
  return [
    ...trials.filter((one) => one.withdrawn === null).flatMap((one) => thickness(one.finished_at, one.thickness_mm)),
    ...inspections.filter((one) => one.withdrawn === null).flatMap((one) => thickness(one.inspected_at, one.thickness_mm)),
    ...lappings.filter((one) => one.withdrawn === null).flatMap((one): Seen[] => [
      { at: one.lapped_at, kind: "lapping", face: one.face, removed_mm: (one.removed_um ?? 0) / 1000 },
      ...thickness(one.lapped_at, one.thickness_after_mm),
    ]),
  ];
}

// Times come from phones and from the service, written alike but not always to the same digit.
const after = (at: string, since: string): boolean => Date.parse(at) > Date.parse(since);

/**
 * What went off a face since its last trial, in mm; null when the face was never tried or nothing tells.
 *
 * Thickness tells of both faces together, so what the log says came off the other one is taken off again, and what
 * came off this one after the last measuring is added. Where nobody measured, the log alone counts.
 */
export function goneSinceTrial(face: Face, history: FaceHistory): FaceGone | null {
  const tried = history.trials.filter((trial) => trial.withdrawn === null && trial.face === face);
  const [last] = [...tried].sort((a, b) => Date.parse(b.finished_at) - Date.parse(a.finished_at));
  if (last === undefined) return null;
  const since = last.finished_at;
  const news = seenIn(history).filter(({ at }) => after(at, since));
  const lappings = news.flatMap((one) => (one.kind === "lapping" ? [one] : []));
  const logged = (which: Face, from: string): number =>
    lappings.filter((one) => one.face === which && after(one.at, from)).reduce((sum, one) => sum + one.removed_mm, 0);
  const latest = news
    .flatMap((one) => (one.kind === "thickness" ? [one] : []))
    .sort((a, b) => Date.parse(b.at) - Date.parse(a.at))[0];
  const other: Face = face === "front" ? "back" : "front";
  const measured = last.thickness_mm === null || latest === undefined
    ? null
    : last.thickness_mm - latest.mm - (logged(other, since) - logged(other, latest.at)) + logged(face, latest.at);
  const gone_mm = Math.max(measured ?? 0, logged(face, since));
  if (measured === null && lappings.length === 0) return null;
  return { face, gone_mm, lapped: lappings.some((one) => one.face === face), since };
}

/** Faces that ask for a confirming trial, by the club's depth. */
export function facesToConfirm(history: FaceHistory, confirmDepthMm: number): FaceGone[] {
  return (["front", "back"] as const)
    .map((face) => goneSinceTrial(face, history))
    .filter((gone): gone is FaceGone => gone !== null && gone.gone_mm > confirmDepthMm + 1e-9);
}
