import type { Face, Inspection, PhotoUse, Purpose, Trial } from "../../domain/records";
import { readAll, readOne, readRuleSet, readSession, type Seen } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { purposes } from "../../words/trade";
import { latestByFace } from "../Stones/state";

/** What the review shows from this phone: the stone, its looks, its trials with what waits, and names. */
export async function readReviewBase(id: string) {
  const [session, stone, inspections, trials, protocols, members, blades, ruleSet] = await Promise.all([
    readSession(), readOne("stone", id), readAll("inspection", { where: { stone_id: id } }),
    readAll("trial", { where: { stone_id: id }, withdrawn: true }), readAll("protocol"), readAll("member", { withdrawn: true }),
    readAll("blade", { withdrawn: true }), readRuleSet(),
  ]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  const looks = inspections.map(({ record }) => record);
  return {
    mayDeal: mayDeal(session),
    member: session?.member.id ?? "",
    stone: stone?.record ?? null,
    latest: latestByFace(looks),
    looks,
    trials: new Map<string, Seen<"trial">>(trials.map((seen) => [seen.record.id, seen])),
    protocols: protocols.map(({ record }) => record),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
    steelNames: new Map(blades.map(({ record }) => [record.steel, record.steel_name])),
    rules: ruleSet?.record.rules ?? null,
  };
}
export type ReviewBase = Awaited<ReturnType<typeof readReviewBase>>;

/** Purposes for which the stone was tried come first in what is shown. */
export function firstPurpose(base: ReviewBase): Purpose | undefined {
  const tried = new Set([...base.trials.values()].map(({ record }) => purposeOf(base, record)));
  return base.purposes.find((purpose) => tried.has(purpose)) ?? base.purposes[0];
}

const purposeOf = (base: ReviewBase, trial: Trial): Purpose | undefined =>
  base.protocols.find((protocol) => protocol.id === trial.protocol_id)?.purpose;

/**
 * The photo that shows a face best: one whose corners are marked, the latest look first, for findings can be drawn on
 * it; else the latest of any.
 */
export function facePhoto(base: ReviewBase, face: Face): PhotoUse | null {
  const newestFirst = (a: Inspection, b: Inspection): number => b.inspected_at.localeCompare(a.inspected_at);
  const links = [
    ...base.looks.filter((look) => look.face === face).sort(newestFirst).flatMap((look) => look.photos),
    ...(base.stone?.photos ?? []),
  ].filter((photo) => photo.view === face);
  return links.find((photo) => photo.corners !== undefined) ?? links[0] ?? null;
}

/** Changes when a trial of the stone is written, left out or put back, here or elsewhere: then the answer is old. */
export const turnOf = (base: ReviewBase): string =>
  [...base.trials.values()].map(({ record, state }) => `${record.id} ${record.revision} ${record.excluded === null ? "" : "out"} ${state}`).sort().join("|");
