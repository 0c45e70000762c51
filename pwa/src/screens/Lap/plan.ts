/** A lapping worked out from an inspection: how flat the face is, what must go, and how many strokes that may take. Pure. */

import type { Inspection, Lapping, Stone } from "../../domain/records";
import { fitRate, grain, gritSteps, measureFlatness, planLapping, Refused, strokesFor } from "../../domain/soundness";
import type { Flatness, GritStep, LappingPlan, LappingRate, Strokes } from "../../domain/soundness";
import { densityOf, faceOf, thicknessNow } from "../../domain/soundness/facts";
import { mm, mm2 } from "../../domain/units";

export interface Manner {
  readonly force_n: number | null;
  readonly stroke_mm: number | null;
}

export interface Step extends GritStep {
  /** Null while force or stroke is not given. */
  readonly strokes: Strokes | null;
}

export type Planned =
  | { readonly kind: "planned"; readonly flatness: Flatness; readonly plan: LappingPlan; readonly steps: readonly Step[]; readonly thickness_left_mm: number | null }
  | { readonly kind: "refused"; readonly why: string };

/** Finish grades P that a plan can end at, coarse to fine. */
export const finishes = [220, 320, 400, 600, 800, 1000, 1500, 2000] as const;

export function planFor(stone: Stone, inspection: Inspection, finish: number, manner: Manner, rate: LappingRate): Planned {
  const face = faceOf(stone);
  if (face === null || inspection.flatness === null) return { kind: "refused", why: "" };
  try {
    const flatness = measureFlatness(inspection.flatness, face);
    const thickness = thicknessNow(stone, inspection);
    const plan = planLapping(inspection.flatness, flatness, face, thickness, densityOf(stone));
    const grits = gritSteps(plan.stock_um, finish);
    const { force_n, stroke_mm } = manner;
    const area = mm2(face.length_mm * face.width_mm);
    const steps = grits.map((step) => ({
      ...step,
      strokes: force_n === null || stroke_mm === null ? null
        : strokesFor(step.remove_um, rate, area, { force_n, stroke_mm: mm(stroke_mm), grain_um: step.grain.um }),
    }));
    const taken = grits.reduce((sum, step) => sum + step.remove_um, 0);
    return { kind: "planned", flatness, plan, steps, thickness_left_mm: thickness === null ? null : thickness - taken / 1000 };
  } catch (error) {
    if (error instanceof Refused) return { kind: "refused", why: error.message };
    throw error;
  }
}

/** The club's rate from the lappings this phone holds, the unsent ones too; the stated first guess while there are none. */
export function clubRate(lappings: readonly Lapping[], stones: ReadonlyMap<string, Stone>): LappingRate {
  return fitRate(lappings.flatMap((lapping) => {
    const stone = stones.get(lapping.stone_id);
    const { removed_um, force_n, strokes, stroke_mm } = lapping;
    // A lapping noted without its figures is a record all the same, but teaches no rate.
    if (stone === undefined || lapping.withdrawn !== null || !removed_um || !force_n || !strokes || !stroke_mm) return [];
    const grain_um = grain(lapping.grit_system, lapping.grit_number).um;
    return [{ removed_um, force_n, strokes, stroke_mm, grain_um, area_mm2: stone.length_mm * stone.width_mm }];
  }));
}

/** A count as people say it: two figures are all that an interval this wide can bear. */
export function roughly(n: number): string {
  if (n < 10) return String(Math.max(1, Math.round(n)));
  const size = 10 ** (Math.floor(Math.log10(n)) - 1);
  return (Math.round(n / size) * size).toLocaleString("en-GB");
}
