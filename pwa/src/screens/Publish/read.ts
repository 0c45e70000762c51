import type { Purpose } from "../../domain/records";
import { readAll, readOne, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { purposes } from "../../words/trade";

const allPurposes = Object.keys(purposes) as Purpose[];

/** What publishing one stone needs from this phone. */
export async function readPublish(id: string) {
  const [session, stone, slips, protocols, trials, members, consents] = await Promise.all([
    readSession(), readOne("stone", id), readAll("slip", { where: { stone_id: id }, withdrawn: true }),
    readAll("protocol", { withdrawn: true }), readAll("trial", { where: { stone_id: id } }),
    readAll("member", { withdrawn: true }), readAll("consent"),
  ]);
  const purposeOf = new Map(protocols.map(({ record }) => [record.id, record.purpose]));
  const inUse = new Set(protocols.filter(({ record }) => record.withdrawn === null).map(({ record }) => record.purpose));
  const tried = new Set(trials.map(({ record }) => purposeOf.get(record.protocol_id)));
  for (const { record } of slips) tried.add(record.purpose);
  return {
    mayDeal: mayDeal(session),
    stone: stone?.record ?? null,
    /** The latest first: ids sort by time of making. */
    slips: slips.sort((a, b) => b.record.id.localeCompare(a.record.id)),
    protocols: protocols.map(({ record }) => record),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
    /** Who may be named on slips: those who agreed and are still with the club. */
    agreed: new Set(
      consents.filter(({ record }) => record.names_on_slips).map(({ record }) => record.id)
        .filter((member) => members.some(({ record }) => record.id === member && record.active && record.withdrawn === null)),
    ),
    purposes: allPurposes.filter((purpose) => inUse.has(purpose) || tried.has(purpose)),
    /** For these there are trials of this stone, or slips. */
    tried: allPurposes.filter((purpose) => tried.has(purpose)),
  };
}
export type PublishView = Awaited<ReturnType<typeof readPublish>>;
