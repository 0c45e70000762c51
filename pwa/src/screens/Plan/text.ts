/** A plan in words: for the clipboard, a message to the testers, reading out. Pure. */
import { byTester, type Plan, type PlannedTrial } from "../../domain/plan";
import { plan as say } from "../../words/plan";
import { day, purposes } from "../../words/trade";

export interface Names {
  readonly tester: (id: string) => string;
  readonly stone: (id: string) => string;
  readonly steel: (steel: string) => string;
  /** Blades of that steel in the club, as they are called. */
  readonly blades: (steel: string) => readonly string[];
}

/** A half width as it is spoken of. Two places where one would hide the difference. */
export function gainWords({ half_width_before: before, half_width_after: after }: PlannedTrial): string {
  const places = before.toFixed(1) === after.toFixed(1) ? 2 : 1;
  return say.gain(before.toFixed(places), after.toFixed(places));
}

export function planText(plan: Plan, plannedAt: string, names: Names): string {
  const lists = byTester(plan.trials).map(({ tester_id, errands }) => [
    names.tester(tester_id),
    ...errands.map((errand) => {
      const blades = names.blades(errand.steel);
      const with_ = blades.length === 0 ? names.steel(errand.steel) : `${names.steel(errand.steel)} (${say.blades(blades)})`;
      return `  ${errand.place}. ${names.stone(errand.stone_id)}, ${with_}: ${gainWords(errand)}`;
    }),
  ].join("\n"));
  return [say.textHead(purposes[plan.purpose], day(plannedAt)), ...lists].join("\n\n");
}
