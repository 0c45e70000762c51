/**
 * Holds domain/records.ts to the service's own description. If a type below does not compile, the service has
 * changed: regenerate with `npm run api:types`, then bring domain/records.ts along.
 */

import type * as board from "../domain/board";
import type * as calibration from "../domain/calibration";
import type * as labels from "../domain/label_sheets";
import type * as match from "../domain/match";
import type * as plan from "../domain/plan";
import type * as publishing from "../domain/publishing";
import type * as review from "../domain/review";
import type * as own from "../domain/records";
import type { components } from "./schema";

type Schemas = components["schemas"];

/** Lists with a default may be left out when writing; the service fills them in, so they are always served. */
type Whole<T> = T extends (infer One)[]
  ? readonly Whole<One>[]
  : T extends object
    ? { readonly [K in keyof T]-?: Whole<Exclude<T[K], undefined>> }
    : T;

/** Free-form maps, whose content a protocol or rule defines. */
type Loose = "observations" | "when" | "facts";

type Tight<T> = T extends readonly (infer One)[]
  ? readonly Tight<One>[]
  : T extends object
    ? { readonly [K in keyof T as K extends Loose ? never : K]: Tight<T[K]> }
    : T;

/** True if every record the service may send fits the type the app reads it by. */
type Reads<Served extends keyof Schemas, Read> = Fits<Tight<Whole<Schemas[Served]>>, Tight<Read>>;
/** True if what the app writes fits what the service takes. */
type Writes<Taken extends keyof Schemas, T extends own.WrittenThing> = Fits<
  Tight<own.OwnFields<T>>,
  Tight<ReadonlyDeep<Omit<Schemas[Taken], "recorded_at">>>
>;
type Fits<Given, Wanted> = [Given] extends [Wanted] ? true : { readonly given: Given; readonly wanted: Wanted };
/** True if what the service computes fits the type the app reads it by. */
type Computed<Served extends keyof Schemas, Read> = Fits<Whole<Schemas[Served]>, Read>;
/** Does not compile otherwise. */
type Holds<Claim extends true> = Claim;
type ReadonlyDeep<T> = T extends object ? { readonly [K in keyof T]: ReadonlyDeep<T[K]> } : T;

export type Agreement = [
  Holds<Reads<"ClubRead", own.Club>>,
  Holds<Reads<"MemberRead", own.Member>>,
  Holds<Reads<"LotRead", own.Lot>>,
  Holds<Reads<"StoneRead", own.Stone>>,
  Holds<Reads<"BladeRead", own.Blade>>,
  Holds<Reads<"ProtocolRead", own.Protocol>>,
  Holds<Reads<"RuleSetRead", own.RuleSet>>,
  Holds<Reads<"InspectionRead", own.Inspection>>,
  Holds<Reads<"TrialRead", own.Trial>>,
  Holds<Reads<"RepairRead", own.Repair>>,
  Holds<Reads<"LappingRead", own.Lapping>>,
  Holds<Reads<"CheckStoneRead", own.CheckStone>>,
  Holds<Reads<"AssignmentRead", own.Assignment>>,
  Holds<Reads<"HandOverRead", own.HandOver>>,
  Holds<Reads<"SlipRead", own.Slip>>,
  Holds<Writes<"ClubWrite", "club">>,
  Holds<Writes<"LotWrite", "lot">>,
  Holds<Writes<"StoneWrite", "stone">>,
  Holds<Writes<"BladeWrite", "blade">>,
  Holds<Writes<"ProtocolWrite", "protocol">>,
  Holds<Writes<"RuleSetWrite", "rule_set">>,
  Holds<Writes<"InspectionWrite", "inspection">>,
  Holds<Writes<"TrialWrite", "trial">>,
  Holds<Writes<"RepairWrite", "repair">>,
  Holds<Writes<"LappingWrite", "lapping">>,
  Holds<Writes<"CheckStoneWrite", "check_stone">>,
  Holds<Writes<"AssignmentWrite", "assignment">>,
  Holds<Writes<"HandOverWrite", "hand_over">>,
  Holds<Reads<"OfferRead", own.Offer>>,
  Holds<Reads<"ConsentRead", own.Consent>>,
  Holds<Reads<"ShortlistRead", own.Shortlist>>,
  Holds<Writes<"ShortlistWrite", "shortlist">>,
  Holds<Writes<"SlipWrite", "slip">>,
  Holds<Writes<"OfferWrite", "offer">>,
  Holds<Writes<"ConsentWrite", "consent">>,
  Holds<Computed<"ReadinessRead", Omit<publishing.Readiness, "grades">>>,
  Holds<Computed<"MovedSlip", publishing.MovedSlip>>,
  Holds<Computed<"BoardRead", board.Board>>,
  Holds<Computed<"ReviewRead", review.Review>>,
  Holds<Computed<"PlanRead", plan.Plan>>,
  Holds<Computed<"CalibrationRead", calibration.Calibration>>,
  Holds<Computed<"SteelsRead", match.Steels>>,
  Holds<Computed<"MatchRead", match.Found>>,
  Holds<Fits<plan.PlanRequest, ReadonlyDeep<Schemas["PlanWrite"]>>>,
  Holds<Fits<labels.LabelsRequest, ReadonlyDeep<Schemas["LabelsWrite"]>>>,
];
