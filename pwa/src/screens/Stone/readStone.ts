import type { Blade, Inspection, Rule, Stone, Trial, Verdict } from "../../domain/records";
import { assess, Refused } from "../../domain/soundness";
import { readAll, readOne, readRuleSet, readSession, type Seen } from "../../store/catalogue";
import { mayDeal } from "../../store/db";
import { readDraft } from "../../store/drafts";
import { latestByFace } from "../Stones/state";

/** Everything the stone's page shows from this phone. */
export async function readStonePage(id: string) {
  const [session, stone, inspections, trials, blades, protocols, ruleSet, trialDraft, inspectionDraft] = await Promise.all([
    readSession(), readOne("stone", id), readAll("inspection", { where: { stone_id: id } }),
    readAll("trial", { where: { stone_id: id } }), readAll("blade"), readAll("protocol"), readRuleSet(),
    readDraft(`trial:${id}`), readDraft(`inspection:${id}`),
  ]);
  const lot = stone === null ? null : await readOne("lot", stone.record.lot_id);
  const member = session?.member.id ?? "";
  return {
    stone: stone?.record ?? null,
    state: stone?.state ?? "sent",
    lot: lot?.record ?? null,
    latest: latestByFace(inspections.map(({ record }) => record)),
    inspections: inspections.map(({ record }) => record),
    ownTrials: trials
      .filter(({ record }) => record.created_by === member)
      .sort((a, b) => b.record.finished_at.localeCompare(a.record.finished_at)),
    trials: trials.map(({ record }) => record),
    blades: new Map<string, Blade>(blades.map(({ record }) => [record.id, record])),
    protocols: protocols.map(({ record }) => record),
    rules: ruleSet?.record.rules ?? null,
    member,
    mayDeal: mayDeal(session),
    hasTrialDraft: trialDraft !== null,
    hasInspectionDraft: inspectionDraft !== null,
  };
}

export type StonePage = Awaited<ReturnType<typeof readStonePage>>;
export type OwnTrial = Seen<"trial">;

/**
 * An inspection's verdicts: the service's where it has given them, else the phone's own by the same
 * rules. `local` says which, since only the service's are the club's.
 */
export function verdictsOf(stone: Stone, inspection: Inspection, rules: readonly Rule[] | null): { verdicts: readonly Verdict[]; local: boolean } {
  if (inspection.rule_set_version !== null || rules === null) return { verdicts: inspection.verdicts, local: false };
  try {
    return { verdicts: assess(stone, inspection, rules).verdicts, local: true };
  } catch (error) {
    if (error instanceof Refused) return { verdicts: [], local: true };
    throw error;
  }
}

/** Purposes whose pooled grades this member may see for this stone: a dealer all, a tester those tried and sent. */
export function purposesSeen(page: StonePage) {
  const purposeOf = new Map(page.protocols.map((p) => [p.id, p.purpose]));
  const sent: readonly Trial[] = page.ownTrials.filter(({ state, record }) => state === "sent" && record.withdrawn === null).map(({ record }) => record);
  const wanted = page.mayDeal ? page.protocols.map((p) => p.purpose) : sent.map((trial) => purposeOf.get(trial.protocol_id));
  return (["knife", "razor", "plane_iron"] as const).filter((purpose) => wanted.includes(purpose));
}
