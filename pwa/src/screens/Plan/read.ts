import type { Member, Purpose, Stone } from "../../domain/records";
import { readHandOvers } from "../../store/assignments";
import { readAll, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { plan as say } from "../../words/plan";
import { purposes } from "../../words/trade";
import { bladesOf } from "../blades";
import type { Names } from "./text";

/** What planning needs from this phone. */
export async function readPlanBase() {
  const [session, stones, blades, members, protocols, holders] = await Promise.all([
    readSession(), readAll("stone", { withdrawn: true }), readAll("blade"), readAll("member", { withdrawn: true }), readAll("protocol"),
    readHandOvers(),
  ]);
  const steels = new Map(blades.map(({ record }) => [record.steel, record.steel_name]));
  const used = new Set(protocols.map(({ record }) => record.purpose));
  const everybody = members.map(({ record }) => record);
  return {
    mayDeal: mayDeal(session),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    protocols: protocols.map(({ record }) => record),
    stones: new Map<string, Stone>(stones.map(({ record }) => [record.id, record])),
    blades: blades.map(({ record }) => record),
    /** Steels that the club has a blade of, by name. */
    steels: [...steels].map(([steel, name]) => ({ steel, name })).sort((a, b) => a.name.localeCompare(b.name)),
    /** The last hand-over of each stone. */
    holders,
    members: new Map<string, Member>(everybody.map((member) => [member.id, member])),
    testers: everybody
      .filter((member) => member.withdrawn === null && member.active && member.roles.includes("tester"))
      .sort((a, b) => a.display_name.localeCompare(b.display_name)),
  };
}
export type PlanBase = Awaited<ReturnType<typeof readPlanBase>>;

export const namesOf = (base: PlanBase, purpose: Purpose): Names => ({
  tester: (id) => base.members.get(id)?.display_name ?? say.someTester,
  stone: (id) => base.stones.get(id)?.code ?? say.noStone,
  steel: (steel) => base.blades.find((blade) => blade.steel === steel)?.steel_name ?? steel.replace(/_/g, " "),
  blades: (steel) => bladesOf(base.blades, steel, purpose).map((blade) => blade.name),
});
