/** An inspection while it is being made, and the record it becomes. Pure; see Trial/draft.ts for why it is flat. */
import type {
  DropState, Face, Finding, FindingKind, Flatness, FlatnessReading, Inspection, OwnFields, PhotoUse, Stone, TapTone,
} from "../../domain/records";
import { photoPoint, type PhotoPoint } from "../../domain/units";

type Values = Readonly<Record<string, unknown>>;

/** The photos of the draft, each with its corners where all four are marked: later looks can draw on it what was found. */
export const photosOf = (values: Values): PhotoUse[] =>
  ((values["photos"] as readonly PhotoUse[] | undefined) ?? []).map(({ sha256, view, caption }) => {
    const corners = cornersOf(values, sha256);
    return { sha256, view, caption, ...(corners.length === 4 ? { corners: corners.map(([x, y]) => [x, y]) } : {}) };
  });

/**
 * The corners of a photo, by its hash: another photo has other corners. Those set here come first, then those that the
 * record brought with it.
 */
export function cornersOf(values: Values, sha256: string): PhotoPoint[] {
  const brought = (values["photos"] as readonly PhotoUse[] | undefined)?.find((photo) => photo.sha256 === sha256)?.corners;
  const kept = values[`corners.${sha256}`] ?? brought;
  if (!Array.isArray(kept)) return [];
  return kept.flatMap((corner: unknown) =>
    Array.isArray(corner) && typeof corner[0] === "number" && typeof corner[1] === "number" ? [photoPoint(corner[0], corner[1])] : []);
}

export interface InspectionDraft {
  readonly face: Face;
  readonly thickness_mm: number | null;
  readonly water_uptake_s: number | null;
  readonly water_started: number | null;
  readonly drop_state: DropState | null;
  readonly dry_mass_g: number | null;
  readonly wet_mass_g: number | null;
  readonly tap_tone: TapTone | null;
  readonly sides_sealed: boolean | null;
  readonly flatness_method: Flatness["method"];
  /** Station id to reading in micrometres. */
  readonly heights: Readonly<Record<string, number>>;
  readonly findings: readonly Finding[];
  readonly notes: string;
}

const numberAt = (values: Values, name: string): number | null => {
  const value = values[name];
  return typeof value === "number" ? value : null;
};

export function readInspectionDraft(values: Values): InspectionDraft {
  const heights = Object.entries(values).flatMap(([name, value]): [string, number][] =>
    name.startsWith("heights.") && typeof value === "number" ? [[name.slice("heights.".length), value]] : []);
  return {
    face: values["face"] === "back" ? "back" : "front",
    thickness_mm: numberAt(values, "thickness_mm"),
    water_uptake_s: numberAt(values, "water_uptake_s"),
    water_started: numberAt(values, "water_started"),
    drop_state: (values["drop_state"] as DropState | undefined) ?? null,
    dry_mass_g: numberAt(values, "dry_mass_g"),
    wet_mass_g: numberAt(values, "wet_mass_g"),
    tap_tone: (values["tap_tone"] as TapTone | undefined) ?? null,
    sides_sealed: typeof values["sides_sealed"] === "boolean" ? values["sides_sealed"] : null,
    flatness_method: values["flatness_method"] === "grid" ? "grid" : "straightedge",
    heights: Object.fromEntries(heights),
    findings: (values["findings"] as readonly Finding[] | undefined) ?? [],
    notes: typeof values["notes"] === "string" ? values["notes"] : "",
  };
}

export function newFinding(id: string, kind: FindingKind): Finding {
  return {
    id, kind, points: [], size_mm: null, depth_mm: null, dip_deg: null,
    catches_nail: null, catches_edge: null, scratches_finish: null, stays_dark_wet: null,
    moves_when_pressed: null, relieved: false, notes: "",
  };
}

export function changeFinding(findings: readonly Finding[], id: string, change: Partial<Finding>): Finding[] {
  return findings.map((finding) => (finding.id === id ? { ...finding, ...change } : finding));
}

/** A place on the face where flatness is read. */
export interface Station {
  readonly id: string;
  readonly x_mm: number;
  readonly y_mm: number;
}

/** Outer stations stand this far inside the edges: eased edges say nothing about the face. */
const inset = 0.06;

/**
 * Straightedge: along both diagonals and along the middle, at a quarter, half and three quarters,
 * the centre shared. Grid: three by three heights from one reference.
 */
export function stations(method: Flatness["method"], face: { length_mm: number; width_mm: number }): Station[] {
  const at = (id: string, u: number, v: number): Station => ({
    id,
    x_mm: Math.round(face.length_mm * u * 10) / 10,
    y_mm: Math.round(face.width_mm * v * 10) / 10,
  });
  if (method === "grid") {
    const places = [inset, 0.5, 1 - inset];
    return places.flatMap((v, row) => places.map((u, column) => at(`g${row}${column}`, u, v)));
  }
  return [
    at("s1", 0.25, 0.25), at("s2", 0.5, 0.25), at("s3", 0.75, 0.25),
    at("s4", 0.25, 0.5), at("s5", 0.5, 0.5), at("s6", 0.75, 0.5),
    at("s7", 0.25, 0.75), at("s8", 0.5, 0.75), at("s9", 0.75, 0.75),
  ];
}

export function flatnessOf(draft: InspectionDraft, face: { length_mm: number; width_mm: number }): Flatness | null {
  const readings: FlatnessReading[] = stations(draft.flatness_method, face).flatMap((station) => {
    const height_um = draft.heights[station.id];
    return height_um === undefined ? [] : [{ x_mm: station.x_mm, y_mm: station.y_mm, height_um }];
  });
  return readings.length === 0 ? null : { method: draft.flatness_method, readings };
}

/** Findings that were begun and never placed: they are named, never quietly dropped. */
export const unplaced = (draft: InspectionDraft): Finding[] => draft.findings.filter((finding) => finding.points.length === 0);

export function toInspection(
  draft: InspectionDraft,
  stone: Pick<Stone, "id"> & { length_mm: number; width_mm: number },
  inspected_at: string,
  photos: readonly PhotoUse[] = [],
): OwnFields<"inspection"> {
  return {
    stone_id: stone.id,
    face: draft.face,
    thickness_mm: draft.thickness_mm,
    inspected_at,
    water_uptake_s: draft.water_uptake_s,
    drop_state: draft.drop_state,
    dry_mass_g: draft.dry_mass_g,
    wet_mass_g: draft.wet_mass_g,
    tap_tone: draft.tap_tone,
    sides_sealed: draft.sides_sealed,
    flatness: flatnessOf(draft, stone),
    findings: draft.findings,
    photos,
    notes: draft.notes.trim(),
  };
}

/** A re-inspection starts from what is known to be on the stone; every probe is asked again. */
export function carriedFindings(last: Inspection, newId: () => string): Finding[] {
  return last.findings.map((finding) => ({
    ...newFinding(newId(), finding.kind),
    points: finding.points,
    size_mm: finding.size_mm,
    relieved: finding.relieved,
    notes: finding.notes,
  }));
}
