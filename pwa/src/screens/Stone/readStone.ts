import type { Blade, Trial } from "../../domain/records";
import { defaultConfirmDepthMm, facesToConfirm } from "../../domain/depth";
import { readHandOvers, readOpenAssignments } from "../../store/assignments";
import { readAll, readClub, readOne, readRuleSet, readSession, type Seen } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { readDrafts } from "../../store/drafts";
import { changeKey } from "../changeKey";
import { latestByFace } from "../Stones/state";

/** Everything the stone's page shows from this phone. */
export async function readStonePage(id: string) {
  const [session, stone, inspections, everyTrial, blades, protocols, ruleSet, members, drafts, lappings, club, last, asked] = await Promise.all([
    readSession(), readOne("stone", id), readAll("inspection", { where: { stone_id: id } }),
    readAll("trial", { where: { stone_id: id }, withdrawn: true }), readAll("blade"), readAll("protocol"), readRuleSet(),
    readAll("member", { withdrawn: true }), readDrafts(), readAll("lapping", { where: { stone_id: id } }), readClub(),
    readHandOvers(id), readOpenAssignments({ stone_id: id }),
  ]);
  const trials = everyTrial.filter(({ record }) => record.withdrawn === null);
  const lot = stone === null ? null : await readOne("lot", stone.record.lot_id);
  const member = session?.member.id ?? "";
  return {
    stone: stone?.record ?? null,
    state: stone?.state ?? "sent",
    lot: lot?.record ?? null,
    latest: latestByFace(inspections.map(({ record }) => record)),
    inspections: inspections.map(({ record }) => record),
    seenInspections: [...inspections].sort((a, b) => b.record.inspected_at.localeCompare(a.record.inspected_at)),
    withdrawnTrials: everyTrial
      .filter(({ record }) => record.withdrawn !== null && record.created_by === member)
      .map(({ record }) => record),
    ownTrials: trials
      .filter(({ record }) => record.created_by === member)
      .sort((a, b) => b.record.finished_at.localeCompare(a.record.finished_at)),
    trials: trials.map(({ record }) => record),
    confirm: facesToConfirm(
      {
        trials: trials.map(({ record }) => record),
        inspections: inspections.map(({ record }) => record),
        lappings: lappings.map(({ record }) => record),
      },
      club?.record.confirm_depth_mm ?? defaultConfirmDepthMm,
    ),
    blades: new Map<string, Blade>(blades.map(({ record }) => [record.id, record])),
    protocols: protocols.map(({ record }) => record),
    rules: ruleSet?.record.rules ?? null,
    member,
    mayDeal: mayDeal(session),
    names: new Map(members.filter(({ record }) => record.withdrawn === null).map(({ record }) => [record.id, record.display_name])),
    /** Also of those who left: a stone may still be with them. */
    everyName: new Map(members.map(({ record }) => [record.id, record.display_name])),
    handOver: last.get(id) ?? null,
    /** Only dealers and stewards see what is asked of others; a tester's own stands on the bench. */
    asked: mayDeal(session) ? asked : [],
    steelNames: new Map(blades.map(({ record }) => [record.steel, record.steel_name])),
    hasTrialDraft: drafts.some(({ key }) => key === `trial:${id}`),
    hasInspectionDraft: drafts.some(({ key }) => key === `inspection:${id}`),
    /** Records of which a change is half typed. */
    changing: new Set(drafts.filter(({ key, record_id }) => key === changeKey(record_id)).map(({ record_id }) => record_id)),
  };
}

export type StonePage = Awaited<ReturnType<typeof readStonePage>>;
export type OwnTrial = Seen<"trial">;

/** The service has it, if perhaps in an earlier version; from then on its stone is no longer graded blind. */
export const isIn = ({ state, record }: OwnTrial): boolean => (state === "sent" || record.version > 0) && record.withdrawn === null;

/** Purposes whose pooled grades this member may see for this stone: a dealer all, a tester those tried and sent. */
export function purposesSeen(page: StonePage) {
  const purposeOf = new Map(page.protocols.map((p) => [p.id, p.purpose]));
  const sent: readonly Trial[] = page.ownTrials.filter(isIn).map(({ record }) => record);
  const wanted = page.mayDeal ? page.protocols.map((p) => p.purpose) : sent.map((trial) => purposeOf.get(trial.protocol_id));
  return (["knife", "razor", "plane_iron"] as const).filter((purpose) => wanted.includes(purpose));
}
export { verdictsOf } from "./verdictsOf";
