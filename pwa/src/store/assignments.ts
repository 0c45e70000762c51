/** Live reads of what is asked for and who has what, on top of the catalogue. Use them inside `useLive`. */
import { byUrgency, isDoneSince, lastHandOvers, openAssignments } from "../domain/assignments";
import type { Who } from "../domain/plan";
import type { Assignment, HandOver, Purpose } from "../domain/records";
import { readAll } from "./catalogue";

/** Open assignments, the most urgent first; of one tester or one stone if named. */
export async function readOpenAssignments(of: { readonly tester_id: string } | { readonly stone_id: string } | null): Promise<Assignment[]> {
  const where = of ?? {};
  const tried = of === null ? {} : "tester_id" in of ? { created_by: of.tester_id } : of;
  const [assignments, trials, protocols, blades] = await Promise.all([
    readAll("assignment", { where }), readAll("trial", { where: tried }), readAll("protocol", { withdrawn: true }), readAll("blade", { withdrawn: true }),
  ]);
  return openAssignments(
    assignments.map(({ record }) => record),
    trials.map(({ record }) => record),
    { protocols: protocols.map(({ record }) => record), blades: blades.map(({ record }) => record) },
  ).sort(byUrgency);
}

/** Those of the wanted trials that have been made since then. */
export async function readDone<W extends Who>(wanted: readonly W[], purpose: Purpose, since: string): Promise<W[]> {
  const [trials, protocols, blades] = await Promise.all([readAll("trial"), readAll("protocol", { withdrawn: true }), readAll("blade", { withdrawn: true })]);
  // Few trials are that young: the rest need no second look.
  const young = trials.map(({ record }) => record).filter((trial) => Date.parse(trial.finished_at) > Date.parse(since));
  const known = { protocols: protocols.map(({ record }) => record), blades: blades.map(({ record }) => record) };
  return wanted.filter((one) => isDoneSince(since, one, purpose, young, known));
}

/** Who has which stone, by the stone's id. */
export async function readHandOvers(stoneId: string | null = null): Promise<ReadonlyMap<string, HandOver>> {
  const all = await readAll("hand_over", stoneId === null ? {} : { where: { stone_id: stoneId } });
  return lastHandOvers(all.map(({ record }) => record));
}
