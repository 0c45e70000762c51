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

/** What a trial brings, as one line; a choice of the dealer's that was not weighed says so. */
export const whyWords = (trial: PlannedTrial): string => (trial.why.length > 0 ? trial.why.join(" ") : say.unweighed);

export function planText(plan: Plan, plannedAt: string, names: Names): string {
  const lists = byTester(plan.trials).map(({ tester_id, errands }) => [
    names.tester(tester_id),
    ...errands.map((errand) => {
      const blades = names.blades(errand.steel);
      const with_ = blades.length === 0 ? names.steel(errand.steel) : `${names.steel(errand.steel)} (${say.blades(blades)})`;
      return `  ${errand.place}. ${names.stone(errand.stone_id)}, ${with_}: ${whyWords(errand)}`;
    }),
  ].join("\n"));
  return [say.textHead(purposes[plan.purpose], day(plannedAt)), ...lists].join("\n\n");
}
