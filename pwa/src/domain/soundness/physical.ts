/**
 * Density, pores and water uptake, in the manner of the stone standards. A bench stone is thinner than the specimens
 * the standards ask for, and slate is outside ASTM C97 altogether, so `specimenLimits` says what keeps us from them.
 */

import type { DropState } from "../records";
import { gramPerCm3, percent } from "../units";
import type { FaceSize, Gram, GramPerCm3, Mm, Mm2, Percent } from "../units";
import { refuse } from "./refusal";

/** Grain density of quartz. */
const QUARTZ = gramPerCm3(2.65);

/** Rocks whose grains are quartz for the most part; total porosity is only told for these. */
export const QUARTZ_KINDS: readonly string[] = ["novaculite", "chert", "sandstone", "siltstone"];

/** Density of a true rectangular block from its mass and sizes. */
export function density(mass: Gram, face: FaceSize, thickness: Mm): GramPerCm3 {
  const volume = face.length_mm * face.width_mm * thickness;
  if (!(mass > 0 && volume > 0)) throw refuse("mass_g", "Mass and sizes must be above 0.");
  return gramPerCm3((mass / volume) * 1000);
}

/** Pores of all kinds: 1 − bulk density over that of quartz. May come out below 0 with heavier grains. */
export const totalPorosity = (bulk: GramPerCm3): Percent => percent((1 - bulk / QUARTZ) * 100);

/** Water absorption by mass, in the manner of EN 13755 and ASTM C97: (wet − dry)/dry · 100. */
export function absorption(dry: Gram, wet: Gram): Percent {
  if (!(dry > 0)) throw refuse("dry_mass_g", "The dry mass must be above 0.");
  if (wet < dry) {
    throw refuse("wet_mass_g", "The wet mass is below the dry mass: weigh again, or swap the two.");
  }
  return percent(((wet - dry) / dry) * 100);
}

/** Capillary uptake, g/(m²·√s), in the manner of EN 1925: mass taken up over (wetted area · √time). */
export function capillarity(takenUp: Gram, area: Mm2, seconds: number): number {
  if (!(takenUp >= 0)) throw refuse("taken_up_g", "The mass taken up cannot be negative: weigh again.");
  if (!(area > 0 && seconds > 0)) throw refuse("time_s", "The wetted area and the time must be above 0.");
  return takenUp / (area * 1e-6 * Math.sqrt(seconds));
}

/**
 * How the face takes a drop. A timed drop outranks a looked-at one. The limits (300, 60 and 5 s) are common practice,
 * no source; the class is a sign, not a grade.
 */
export function uptakeClass(seconds: number | null, state: DropState | null): DropState | null {
  if (seconds === null) return state;
  if (seconds < 5) return "at_once";
  if (seconds < 60) return "quick";
  return seconds < 300 ? "slow" : "beads";
}

/**
 * Why this stone is not a specimen of the standards, in sentences. EN 13755: edge 70 ± 5 or 50 ± 5 mm. ASTM C97:
 * least dimension 50–75 mm, volume to surface 8–12.5 mm, at least five specimens, slate excluded.
 */
export function specimenLimits(kind: string, face: FaceSize, thickness: Mm): string[] {
  const limits: string[] = [];
  const { length_mm: l, width_mm: w } = face;
  const sizes = [l, w, thickness];
  const all = (low: number, high: number): boolean => sizes.every((s) => low <= s && s <= high);
  if (!all(45, 55) && !all(65, 75)) {
    limits.push("EN 13755 asks for cubes or the like with edges of 50 ± 5 or 70 ± 5 mm.");
  }
  const least = Math.min(...sizes);
  if (!(least >= 50 && least <= 75)) limits.push("ASTM C97 asks for a least dimension of 50 to 75 mm.");
  const ratio = (l * w * thickness) / (2 * (l * w + l * thickness + w * thickness));
  if (!(ratio >= 8 && ratio <= 12.5)) {
    limits.push("ASTM C97 asks for a volume of 8 to 12.5 mm times the surface.");
  }
  if (kind === "slate" || kind === "garnet_slate") limits.push("Slate is outside ASTM C97.");
  limits.push("ASTM C97 asks for at least five specimens; this is one stone.");
  return limits;
}
