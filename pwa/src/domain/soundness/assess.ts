/** One answer to one inspection, also without a signal: facts, verdicts with reasons, usable face, lapping. */

import type { Rule, Urgency, Verdict } from "../records";
import { mm } from "../units";
import type { FacePoint } from "../units";
import {
  densityOf,
  faceOf,
  findingFacts,
  inspectionFacts,
  isTraced,
  stoneFacts,
  thicknessNow,
  usableFacts,
} from "./facts";
import type { Facts, FindingValues, History, InspectionValues, StoneShape } from "./facts";
import { measureFlatness } from "./flatness";
import type { Flatness } from "./flatness";
import { planLapping } from "./lapping";
import type { LappingPlan } from "./lapping";
import { specimenLimits } from "./physical";
import { factsUsed, matches, reason, strictest, urgencyRank } from "./rules";
import { usableFace } from "./usable";
import type { Obstacle, UsableFace } from "./usable";
import { sayNumber } from "./words";

/**
 * A finding with one of these verdicts is kept out of the usable face, for no repair gives its place back. So is every
 * chip, and a corner piece that is to be glued, since glue may fail there.
 */
export const TAKES_FACE: readonly string[] = ["trim the corner", "keep off the face", "set aside"];

/** The whole answer. `verdicts` come most urgent first; `urgency` is the strictest of them. */
export interface Assessment {
  readonly urgency: Urgency;
  readonly verdicts: readonly Verdict[];
  readonly findings: readonly { readonly finding_id: string; readonly facts: Facts }[];
  readonly stone: Facts;
  readonly inspection: Facts;
  readonly flatness: Flatness | null;
  readonly usable_face: UsableFace | null;
  readonly lapping: LappingPlan | null;
  /** How far the measured values can be trusted. */
  readonly notes: readonly string[];
}

interface PlacedFinding {
  readonly finding: FindingValues;
  readonly facts: Facts;
  readonly points: readonly FacePoint[];
}

/**
 * What to do with the stone, how urgent it is, and why. Throws `Refused` if a finding or a reading cannot be
 * measured; the path names it. A verdict of urgency "none" reassures, so it is only given where no other verdict on
 * the same finding asks for anything.
 */
export function assess(
  stone: StoneShape,
  inspection: InspectionValues,
  rules: readonly Rule[],
  history: History = {},
): Assessment {
  const face = faceOf(stone);
  const flatness = inspection.flatness ? measureFlatness(inspection.flatness, face) : null;
  const placed = inspection.findings.map((finding, i) => ({
    finding,
    ...findingFacts(finding, stone, inspection, `findings.${i}`),
  }));
  const onFindings = placed.flatMap(({ finding, facts }) => judge("finding", rules, facts, finding.id));
  const usable = face ? usableFace(face, obstacles(placed, onFindings)) : null;
  const left = face ? usableFacts(usable) : {};
  const whole = { ...inspectionFacts(stone, inspection, history, flatness, placed.map((p) => p.facts)), ...left };
  const body = { ...stoneFacts(stone, inspection, history), ...left };
  const verdicts = [
    ...onFindings,
    ...judge("inspection", rules, whole, null),
    ...judge("stone", rules, body, null),
  ];
  return {
    urgency: strictest(verdicts.map((v) => v.urgency)),
    // Sorting keeps the order of findings and rules within one urgency.
    verdicts: verdicts.sort((a, b) => urgencyRank(b.urgency) - urgencyRank(a.urgency)),
    findings: placed.map(({ finding, facts }) => ({ finding_id: finding.id, facts })),
    stone: body,
    inspection: whole,
    flatness,
    usable_face: usable,
    lapping:
      face && flatness && inspection.flatness
        ? planLapping(inspection.flatness, flatness, face, thicknessNow(stone, inspection), densityOf(stone))
        : null,
    notes: notesOn(stone, inspection, flatness, whole),
  };
}

function notesOn(
  stone: StoneShape,
  inspection: InspectionValues,
  flatness: Flatness | null,
  facts: Facts,
): string[] {
  const notes: string[] = [];
  if ("absorption_percent" in facts) {
    notes.push("Water absorption is measured in the manner of EN 13755 and ASTM C97, not by them.");
    const face = faceOf(stone);
    const thickness = thicknessNow(stone, inspection);
    if (face && thickness !== null) notes.push(...specimenLimits(stone.kind, face, thickness));
  }
  if ("density_g_cm3" in facts) {
    notes.push("Density comes from mass and outer sizes; chips and rounded edges make it seem lower.");
  }
  if ("total_porosity_percent" in facts) notes.push("Total porosity takes all grains for quartz (2.65 g/cm³).");
  if (flatness) {
    notes.push(
      flatness.method === "straightedge"
        ? "Flatness is the largest gap under the straightedge, so a twist can hide from it."
        : "Flatness holds for the places that were read; between them the face may differ.",
    );
    const plate = stone.length_mm === null ? 0 : 4 + stone.length_mm / 250;
    if (flatness.flatness_um < plate) {
      notes.push(
        `Even the best surface plate of this length (DIN 876, grade 0) may itself be ${sayNumber(plate)} µm out of flat.`,
      );
    }
  }
  return notes;
}

function judge(appliesTo: Rule["applies_to"], rules: readonly Rule[], facts: Facts, findingId: string | null): Verdict[] {
  const verdicts = rules
    .filter((rule) => rule.applies_to === appliesTo && matches(rule, facts))
    .map((rule) => ({
      rule_id: rule.id,
      finding_id: findingId,
      verdict: rule.verdict,
      urgency: rule.urgency,
      because: reason(rule, facts),
      caution: rule.caution,
      facts: factsUsed(rule, facts),
    }));
  const asking = verdicts.filter((v) => v.urgency !== "none");
  return findingId !== null && asking.length > 0 ? asking : verdicts;
}

function obstacles(placed: readonly PlacedFinding[], verdicts: readonly Verdict[]): Obstacle[] {
  const told = (words: readonly string[]): Set<string | null> =>
    new Set(verdicts.filter((v) => words.includes(v.verdict)).map((v) => v.finding_id));
  const taking = told(TAKES_FACE);
  const glued = told(["glue before lapping"]);
  return placed
    .filter(({ finding, facts }) => {
      const atRisk = glued.has(finding.id) && facts["reach"] === "corner";
      return taking.has(finding.id) || atRisk || finding.kind === "chip";
    })
    .map(({ finding, facts, points }) => {
      const size = facts["size_mm"];
      return {
        points,
        closed: points.length > 2 && !isTraced(finding),
        radius_mm: mm(points.length === 1 && typeof size === "number" ? size / 2 : 0),
      };
    });
}
