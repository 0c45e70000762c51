/**
 * Facts: what a rule may look at. Computed once, rounded to 0.0001, then handed to the rules. A fact that is not known
 * is left out, so a rule that asks for it (`required`) stays silent instead of guessing.
 */

import type { Face, Finding, Inspection, Stone } from "../records";
import { faceSize, gram, mm, mm2 } from "../units";
import type { FacePoint, FaceSize, GramPerCm3, Mm, Mm2 } from "../units";
import type { Flatness } from "./flatness";
import { measureOutline, measureSpot, measureTrace, pieceVolume, place } from "./geometry";
import { absorption, density, QUARTZ_KINDS, totalPorosity, uptakeClass } from "./physical";
import type { UsableFace } from "./usable";
import { round4 } from "./words";

export type Fact = number | string | boolean;
export type Facts = Record<string, Fact>;
type Unsure = Record<string, Fact | null | undefined>;

/** The parts of a stone's record that its soundness rests on. */
export type StoneShape = Pick<Stone, "mass_g" | "kind" | "form"> & {
  /** Sizes are null while nobody has measured them. */
  readonly length_mm: number | null;
  readonly width_mm: number | null;
  readonly thickness_mm: number | null;
  readonly marks?: readonly { readonly face: Face }[];
  readonly sides_sealed?: boolean | null;
};

export type FindingValues = Omit<Finding, "notes">;

/** The parts of an inspection's record that its verdicts rest on; a draft will do. */
export type InspectionValues = Pick<
  Inspection,
  | "face"
  | "thickness_mm"
  | "water_uptake_s"
  | "drop_state"
  | "dry_mass_g"
  | "wet_mass_g"
  | "tap_tone"
  | "sides_sealed"
  | "flatness"
> & { readonly findings: readonly FindingValues[] };

/** What other records say of this stone, where known. */
export interface History {
  readonly lapped_before?: boolean | null;
  readonly repaired_since?: boolean | null;
  readonly fineness_grade?: number | null;
}

const TRACED: readonly string[] = ["fissure", "line"];

/** The size of a stone's face, if length and width are on record. */
export const faceOf = (stone: StoneShape): FaceSize | null =>
  stone.length_mm === null || stone.width_mm === null ? null : faceSize(stone.length_mm, stone.width_mm);

export const isTraced = (finding: FindingValues): boolean => TRACED.includes(finding.kind);

/** The thickness at the inspection, or the stone's own where it was not measured then. */
export function thicknessNow(stone: StoneShape, inspection: InspectionValues): Mm | null {
  const thickness = inspection.thickness_mm ?? stone.thickness_mm;
  return thickness === null ? null : mm(thickness);
}

/** Density; null without mass or sizes, or for an irregular stone, whose sizes make no volume. */
export function densityOf(stone: StoneShape): GramPerCm3 | null {
  const face = faceOf(stone);
  if (!face || stone.thickness_mm === null || stone.mass_g === null || stone.form === "irregular") return null;
  return density(gram(stone.mass_g), face, mm(stone.thickness_mm));
}

/** The facts of one finding, and its points brought onto the face (none if the face's size is not known). */
export function findingFacts(
  finding: FindingValues,
  stone: StoneShape,
  inspection: InspectionValues,
  field: string,
): { facts: Facts; points: readonly FacePoint[] } {
  const thickness = thicknessNow(stone, inspection);
  const facts: Unsure = {
    kind: finding.kind,
    form: stone.form,
    stone_kind: stone.kind,
    thickness_mm: thickness,
    sides_sealed: inspection.sides_sealed ?? stone.sides_sealed,
    face_marked: isMarked(stone, inspection),
    uptake_class: uptakeClass(inspection.water_uptake_s, inspection.drop_state),
    size_mm: finding.size_mm,
    depth_mm: finding.depth_mm,
    dip_deg: finding.dip_deg,
    catches_nail: finding.catches_nail,
    catches_edge: finding.catches_edge,
    scratches_finish: finding.scratches_finish,
    stays_dark_wet: finding.stays_dark_wet,
    moves_when_pressed: finding.moves_when_pressed,
    relieved: finding.relieved,
  };
  if (finding.depth_mm !== null && thickness !== null) {
    facts["depth_percent"] = Math.min(100, (100 * finding.depth_mm) / thickness);
  }
  const face = faceOf(stone);
  if (!face) return { facts: known(facts), points: [] };
  const points = place(finding.points, face, `${field}.points`);
  Object.assign(facts, placeFacts(finding, points, face, thickness, densityOf(stone), `${field}.points`));
  return { facts: known(facts), points };
}

/** What follows from where a finding lies on the face. */
function placeFacts(
  finding: FindingValues,
  points: readonly FacePoint[],
  face: FaceSize,
  thickness: Mm | null,
  bulk: GramPerCm3 | null,
  field: string,
): Unsure {
  const traced = isTraced(finding);
  const { area, facts, piece, reach } =
    points.length === 2 || (traced && points.length > 1)
      ? traceFacts(finding, points, face, field)
      : spotFacts(finding, points, face, field);
  facts["reach"] = reach;
  facts["area_mm2"] = traced ? null : area;
  const lost = piece ? piece.area_mm2 : finding.kind === "chip" ? area : null;
  const share = lost ?? area;
  if (share !== null) {
    facts["face_share_percent"] = Math.min(100, (100 * share) / (face.length_mm * face.width_mm));
  }
  if (piece) {
    facts["piece_long_mm"] = piece.leg_long_mm;
    facts["piece_short_mm"] = piece.leg_short_mm;
  }
  if (lost !== null) {
    facts["piece_area_mm2"] = lost;
    if (thickness !== null) {
      const depth = finding.depth_mm === null ? null : mm(finding.depth_mm);
      const volume = pieceVolume(lost, reach, depth, thickness);
      facts["piece_volume_mm3"] = volume;
      facts["piece_mass_g"] = bulk === null ? null : (volume * bulk) / 1000;
    }
  }
  return facts;
}

interface Placed {
  facts: Unsure;
  area: Mm2 | null;
  piece: ReturnType<typeof measureTrace>["piece"];
  reach: ReturnType<typeof measureTrace>["reach"];
}

function traceFacts(finding: FindingValues, points: readonly FacePoint[], face: FaceSize, field: string): Placed {
  const trace = measureTrace(points, face, field);
  return {
    facts: {
      length_mm: trace.length_mm,
      angle_deg: trace.angle_deg,
      edge_distance_mm: trace.edge_distance_mm,
      corner_distance_mm: trace.corner_distance_mm,
    },
    // A patch told by two points and a width is a strip of that width along them.
    area: isTraced(finding) || finding.size_mm === null ? null : mm2(trace.length_mm * finding.size_mm),
    piece: trace.piece,
    reach: trace.reach,
  };
}

function spotFacts(finding: FindingValues, points: readonly FacePoint[], face: FaceSize, field: string): Placed {
  const only = points.length === 1 ? points[0] : undefined;
  const spot = only ? measureSpot(only, mm(finding.size_mm ?? 0), face) : measureOutline(points, face, field);
  const size = finding.size_mm ?? (spot.size_mm > 0 ? spot.size_mm : null);
  return {
    facts: {
      size_mm: size,
      length_mm: isTraced(finding) ? size : null,
      edge_distance_mm: spot.edge_distance_mm,
      corner_distance_mm: spot.corner_distance_mm,
    },
    area: spot.area_mm2 > 0 ? spot.area_mm2 : null,
    piece: spot.piece,
    reach: spot.reach,
  };
}

/** The facts of the stone as a whole, without the usable face. */
export function stoneFacts(stone: StoneShape, inspection: InspectionValues, history: History): Facts {
  const bulk = densityOf(stone);
  return known({
    sizes_known: faceOf(stone) !== null,
    stone_length_mm: stone.length_mm,
    stone_width_mm: stone.width_mm,
    thickness_mm: thicknessNow(stone, inspection),
    mass_g: stone.mass_g,
    stone_kind: stone.kind,
    form: stone.form,
    sides_sealed: inspection.sides_sealed ?? stone.sides_sealed,
    density_g_cm3: bulk,
    total_porosity_percent: bulk !== null && QUARTZ_KINDS.includes(stone.kind) ? totalPorosity(bulk) : null,
    face_marked: isMarked(stone, inspection),
    lapped_before: history.lapped_before,
    repaired_since: history.repaired_since,
    fineness_grade: history.fineness_grade,
  });
}

/** The facts of the inspection as a whole, those of the stone among them, without the usable face. */
export function inspectionFacts(
  stone: StoneShape,
  inspection: InspectionValues,
  history: History,
  flatness: Flatness | null,
  findings: readonly Facts[],
): Facts {
  const { dry_mass_g: dry, wet_mass_g: wet } = inspection;
  const fissures = findings.filter((facts) => facts["kind"] === "fissure");
  const facts: Unsure = {
    face: inspection.face,
    water_uptake_s: inspection.water_uptake_s,
    uptake_class: uptakeClass(inspection.water_uptake_s, inspection.drop_state),
    absorption_percent: dry === null || wet === null ? null : absorption(gram(dry), gram(wet)),
    tap_tone: inspection.tap_tone,
    flatness_read: flatness !== null,
    flatness_um: flatness?.flatness_um,
    flatness_shape: flatness?.shape,
    n_findings: findings.length,
    n_fissures: fissures.length,
  };
  const face = faceOf(stone);
  if (face) {
    const total = fissures.reduce((sum, fissure) => sum + Number(fissure["length_mm"] ?? 0), 0);
    facts["fissure_length_mm"] = total;
    facts["fissure_length_percent"] = (100 * total) / face.length_mm;
  }
  return { ...stoneFacts(stone, inspection, history), ...known(facts) };
}

/** The usable face as facts; a face with nothing left has zeros. */
export const usableFacts = (usable: UsableFace | null): Facts => ({
  usable_length_mm: round4(usable?.length_mm ?? 0),
  usable_width_mm: round4(usable?.width_mm ?? 0),
  usable_share_percent: round4(usable?.share_percent ?? 0),
});

const isMarked = (stone: StoneShape, inspection: InspectionValues): boolean =>
  (stone.marks ?? []).some((mark) => mark.face === inspection.face);

/** Only what is known, numbers rounded as rules see them. */
function known(facts: Unsure): Facts {
  const out: Facts = {};
  for (const [name, value] of Object.entries(facts)) {
    if (value === null || value === undefined) continue;
    out[name] = typeof value === "number" ? round4(value) : value;
  }
  return out;
}
