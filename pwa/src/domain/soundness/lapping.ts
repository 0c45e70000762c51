/** Lapping: how much stone must go to make a face flat, and what is left. */

import type { Flatness as FlatnessValues } from "../records";
import { gram, mm, mm3, um } from "../units";
import type { FaceSize, Gram, GramPerCm3, Mm, Mm3, Um } from "../units";
import { fitForm, heightsOver, leastSquaresPlane } from "./flatness";
import type { Flatness, FlatnessShape } from "./flatness";
import { grain } from "./grit";
import type { Grain } from "./grit";
import { refuse } from "./refusal";

/** Share of area × flatness to remove from a face bent one way only (a parabolic cylinder). */
const STRAIGHTEDGE_SHARE: Readonly<Partial<Record<FlatnessShape, number>>> = {
  hollow: 1 / 3,
  crowned: 2 / 3,
  flat: 0,
};

/** One step of a lapping: the grit and how deep it should take the face. */
export interface GritStep {
  readonly grain: Grain;
  readonly remove_um: Um;
}

/**
 * What making the face flat costs: depth at the highest place, volume and mass, the grits in turn, and the thickness
 * left at the highest place after all of them. `basis` tells whether the volume comes from a fitted surface or from
 * a straightedge's single gap.
 */
export interface LappingPlan {
  readonly stock_um: Um;
  readonly stock_mm3: Mm3;
  readonly stock_g: Gram | null;
  readonly thickness_after_mm: Mm | null;
  readonly basis: "surface" | "straightedge";
  readonly grits: readonly GritStep[];
}

/**
 * Stock to remove until the lowest place is reached, with the lap lying as the face lies on average. Grid: the plane
 * is the least-squares one, lowered to the lowest reading; the volume above it is that of the fitted surface.
 * Straightedge: the face is taken as bent along one way only.
 */
export function planLapping(
  values: FlatnessValues,
  flatness: Flatness,
  face: FaceSize,
  thickness: Mm | null,
  density: GramPerCm3 | null,
): LappingPlan {
  const area = face.length_mm * face.width_mm;
  let depth: number = flatness.flatness_um;
  let mean = depth * (STRAIGHTEDGE_SHARE[flatness.shape] ?? 1);
  if (values.method === "grid") {
    const plane = leastSquaresPlane(values.readings);
    const heights = heightsOver(values.readings, plane);
    const lowest = Math.min(...heights);
    depth = Math.max(...heights) - lowest;
    const middle = plane.a + (plane.b * face.length_mm) / 2 + (plane.c * face.width_mm) / 2;
    mean = Math.min(Math.max(fitForm(values.readings, face).mean_um - middle - lowest, 0), depth);
  }
  const volume = (area * mean) / 1000;
  const grits = gritSteps(um(depth));
  const taken = grits.reduce((sum, step) => sum + step.remove_um, 0);
  return {
    stock_um: um(depth),
    stock_mm3: mm3(volume),
    stock_g: density === null ? null : gram((volume * density) / 1000),
    thickness_after_mm: thickness === null ? null : mm(thickness - taken / 1000),
    basis: values.method === "grid" ? "surface" : "straightedge",
    grits,
  };
}

/** The first grit's grain is at least this share of the stock, so that it cuts through in reasonable time. */
const START_SHARE = 0.5;

/** From one grit to the next the grain falls to this share or below, where the table allows. */
const STEP_SHARE = 0.6;

/** Each grit goes this share of the grain before it deep, which clears the scratches that one left. */
const CLEAR_SHARE = 0.5;

/** Grades P to lap with: coarser ones tear natural stone. */
const LAPPING_GRADES = [120, 150, 180, 220, 240, 280, 320, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500];

/**
 * A sequence of wet lapping grits (FEPA P) from the stock down to a finish grade: each later step clears the scratches
 * of the one before it, the first takes the rest of the stock. Common practice, no source.
 */
export function gritSteps(stock: Um, finish = 1000): GritStep[] {
  if (!LAPPING_GRADES.includes(finish)) {
    throw refuse("finish", `Finish at one of P ${LAPPING_GRADES.join(", ")}.`);
  }
  if (!(stock >= 0 && stock < 1e5)) throw refuse("stock_um", "The stock must be 0 or more, and below 100 mm.");
  const grains = LAPPING_GRADES.filter((number) => number <= finish).map((number) => grain("fepa_p", number));
  const first = grains.findLast((g) => g.um >= START_SHARE * stock) ?? grains[0];
  const chosen: Grain[] = [];
  for (let next = first; next; ) {
    const now: Grain = next;
    chosen.push(now);
    const finer = grains.slice(grains.indexOf(now) + 1);
    next = finer.find((g) => g.um <= STEP_SHARE * now.um) ?? finer.at(-1);
  }
  const later = chosen.slice(0, -1).map((g) => CLEAR_SHARE * g.um);
  const rest = stock - later.reduce((sum, depth) => sum + depth, 0);
  const opening = Math.max(rest, Math.min(stock, CLEAR_SHARE * (chosen[0]?.um ?? 0)));
  return chosen.map((g, i) => ({ grain: g, remove_um: um(i === 0 ? opening : (later[i - 1] ?? 0)) }));
}
