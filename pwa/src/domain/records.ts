/**
 * The records as the service serves them. Names and units are those of the API: lengths in mm, masses in g,
 * angles in degrees, heights in micrometres (`_um`), times RFC 3339 in UTC, ids UUIDv7 made on the device.
 */

export interface Withdrawn {
  readonly at: string;
  /** null: the service itself, not a member. */
  readonly by: string | null;
  readonly reason: string;
}

/** What every record carries besides its own fields. A record that was never sent has version and revision 0. */
export interface Kept {
  readonly id: string;
  readonly version: number;
  readonly revision: number;
  readonly recorded_at: string | null;
  readonly created_by: string | null;
  readonly created_at: string;
  readonly updated_at: string;
  readonly updated_by: string | null;
  readonly withdrawn: Withdrawn | null;
}

export type Role = "tester" | "dealer" | "steward";
export type Purpose = "knife" | "razor" | "plane_iron";
export type Face = "front" | "back";
export type StoneKind =
  | "slate" | "novaculite" | "schist" | "sandstone" | "siltstone" | "garnet_slate" | "chert" | "other";
export type StoneForm = "bench" | "hand" | "finger" | "irregular";
export type SteelClass = "plain_carbon" | "low_alloy" | "stainless" | "high_alloy" | "powder";
export type Construction = "mono" | "laminated" | "clad";
export type FindingKind = "fissure" | "inclusion" | "line" | "chip" | "soft_spot" | "stain";
export type DropState = "beads" | "slow" | "quick" | "at_once";
export type TapTone = "ring" | "dull" | "rattle";
export type Urgency = "none" | "watch" | "soon" | "before_use" | "reject";
export type PhotoView = "front" | "back" | "side" | "mud" | "finish" | "before" | "after";

export interface PublishRules {
  readonly min_testers: number;
  readonly min_steels: number;
  readonly max_half_width: number;
}

export interface Club extends Kept {
  readonly name: string;
  readonly slug: string;
  readonly invented: boolean;
  readonly publish_rules: PublishRules;
  readonly confirm_depth_mm: number;
}

export interface Member extends Kept {
  readonly display_name: string;
  readonly sign_in_name: string;
  readonly roles: readonly Role[];
  readonly active: boolean;
}

export interface Lot extends Kept {
  readonly code: string;
  readonly name: string;
  readonly quarry: string;
  readonly received_on: string | null;
  readonly notes: string;
}

export interface Mark {
  readonly face: Face;
  readonly kind: "stamp" | "natural_skin";
  readonly notes: string;
}

export interface PhotoUse {
  readonly sha256: string;
  readonly view: PhotoView;
  readonly caption: string;
  /** Where the face's four corners lie on it, in its pixels; not there where nobody has marked them. */
  readonly corners?: readonly (readonly number[])[];
}

export interface Stone extends Kept {
  readonly code: string;
  readonly lot_id: string;
  readonly kind: StoneKind;
  readonly form: StoneForm;
  readonly length_mm: number;
  readonly width_mm: number;
  readonly thickness_mm: number;
  readonly mass_g: number | null;
  readonly colour: string;
  readonly marks: readonly Mark[];
  readonly sides_sealed: boolean;
  readonly photos: readonly PhotoUse[];
  readonly notes: string;
}

export interface Blade extends Kept {
  readonly name: string;
  readonly steel: string;
  readonly steel_name: string;
  readonly steel_class: SteelClass;
  readonly construction: Construction;
  readonly hardness_hrc: number | null;
  readonly form: Purpose;
  readonly notes: string;
}

export interface Caution {
  readonly id: string;
  readonly text: string;
}

export interface StepCondition {
  readonly name: string;
  readonly value: string;
}

export interface ProtocolStep {
  readonly id: string;
  readonly title: string;
  readonly text: string;
  readonly conditions: readonly StepCondition[];
  readonly timer_s: number | null;
  readonly counter: { readonly name: string; readonly target: number } | null;
  /** Ids of the observations and scales that are recorded at this step. */
  readonly records: readonly string[];
}

export interface GradeScale {
  readonly id: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly words: Readonly<Record<string, string>>;
}

export interface ObservationChoice {
  readonly value: string | number;
  readonly words: string;
}

export interface ObservationAsked {
  readonly id: string;
  readonly name: string;
  readonly help: string;
  readonly kind: "choice" | "number" | "grit_band" | "yes_no" | "text";
  readonly unit: string | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly choices: readonly ObservationChoice[];
  readonly required: boolean;
}

export interface Protocol extends Kept {
  readonly name: string;
  readonly purpose: Purpose;
  readonly summary: string;
  readonly reference_steels: readonly string[];
  readonly cautions: readonly Caution[];
  readonly steps: readonly ProtocolStep[];
  readonly scales: readonly GradeScale[];
  readonly observations: readonly ObservationAsked[];
}

export interface RuleParameter {
  readonly name: string;
  readonly label: string;
  readonly unit: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface Rule {
  readonly id: string;
  readonly applies_to: "finding" | "inspection" | "stone";
  readonly when: unknown;
  readonly verdict: string;
  readonly urgency: Urgency;
  readonly because: string;
  readonly caution: string | null;
  readonly parameters: readonly RuleParameter[];
}

export interface RuleSet extends Kept {
  readonly name: string;
  readonly rules: readonly Rule[];
}

export interface Point {
  readonly x_mm: number;
  readonly y_mm: number;
}

export interface Finding {
  readonly id: string;
  readonly kind: FindingKind;
  readonly points: readonly Point[];
  readonly size_mm: number | null;
  readonly depth_mm: number | null;
  readonly dip_deg: number | null;
  readonly catches_nail: boolean | null;
  readonly catches_edge: boolean | null;
  readonly scratches_finish: boolean | null;
  readonly stays_dark_wet: boolean | null;
  readonly moves_when_pressed: boolean | null;
  readonly relieved: boolean;
  readonly notes: string;
}

export interface FlatnessReading extends Point {
  readonly height_um: number;
}

export interface Flatness {
  readonly method: "grid" | "straightedge";
  readonly readings: readonly FlatnessReading[];
}

export interface Verdict {
  readonly rule_id: string;
  readonly finding_id: string | null;
  readonly verdict: string;
  readonly urgency: Urgency;
  readonly because: string;
  readonly caution: string | null;
  readonly facts: Readonly<Record<string, unknown>>;
}

export interface Inspection extends Kept {
  readonly stone_id: string;
  readonly face: Face;
  readonly thickness_mm: number | null;
  readonly inspected_at: string;
  readonly water_uptake_s: number | null;
  readonly drop_state: DropState | null;
  readonly dry_mass_g: number | null;
  readonly wet_mass_g: number | null;
  readonly tap_tone: TapTone | null;
  readonly sides_sealed: boolean | null;
  readonly flatness: Flatness | null;
  readonly findings: readonly Finding[];
  readonly photos: readonly PhotoUse[];
  readonly notes: string;
  /** Computed by the service; a record that waits has none yet. */
  readonly verdicts: readonly Verdict[];
  readonly rule_set_version: number | null;
}

/** What was done about one verdict of an inspection, or the dealer's word that nothing needs doing. */
export interface Repair extends Kept {
  readonly stone_id: string;
  readonly inspection_id: string;
  readonly finding_id: string | null;
  readonly rule_id: string;
  readonly verdict: string;
  readonly outcome: "done" | "not_needed";
  readonly done_at: string;
  readonly with_what: string;
  readonly photos: readonly PhotoUse[];
  readonly notes: string;
}

/** One lapping of a face. Complete ones (strokes, stroke, force, what came off) teach the club its rate. */
export interface Lapping extends Kept {
  readonly stone_id: string;
  readonly face: Face;
  readonly lapped_at: string;
  readonly grit_system: GritBand["system"];
  readonly grit_number: number;
  readonly strokes: number | null;
  readonly stroke_mm: number | null;
  readonly force_n: number | null;
  readonly removed_um: number | null;
  readonly thickness_after_mm: number | null;
  readonly marked_face_agreed: boolean;
  readonly notes: string;
}

export interface GritBand {
  readonly low: number;
  readonly high: number;
  readonly system: "jis" | "fepa_f" | "fepa_p";
}

export type ObservationValue = string | number | boolean | GritBand | null;

export interface Trial extends Kept {
  readonly stone_id: string;
  readonly blade_id: string;
  readonly protocol_id: string;
  readonly protocol_version: number;
  readonly face: Face;
  readonly thickness_mm: number | null;
  readonly started_at: string;
  readonly finished_at: string;
  readonly observations: Readonly<Record<string, ObservationValue>>;
  readonly grades: Readonly<Record<string, number>>;
  readonly photos: readonly PhotoUse[];
  readonly notes: string;
  readonly excluded: { readonly at: string; readonly by: string; readonly reason: string } | null;
}

export interface CheckStone extends Kept {
  readonly stone_id: string;
  readonly purpose: Purpose;
  readonly grades: Readonly<Record<string, { readonly grade: number; readonly sd: number }>>;
  readonly agreed_on: string;
  readonly notes: string;
}

/** A trial that the dealer asks of one tester. What makes it done is a trial, see domain/assignments.ts. */
export interface Assignment extends Kept {
  readonly stone_id: string;
  readonly tester_id: string;
  readonly purpose: Purpose;
  /** null: the tester chooses. */
  readonly steel: string | null;
  readonly due_on: string | null;
  readonly notes: string;
}

/** A stone changed hands. The latest one says who has it. */
export interface HandOver extends Kept {
  readonly stone_id: string;
  /** null: back with the dealer. */
  readonly holder_id: string | null;
  readonly handed_at: string;
  readonly notes: string;
}

/** Whether a stone is for sale, what it cost and what is asked for it. Its id is the stone's. Dealers and stewards only. */
export interface Offer extends Kept {
  readonly stone_id: string;
  readonly state: "for_sale" | "reserved" | "sold" | "kept_back";
  readonly cost: number | null;
  readonly price: number | null;
  /** ISO 4217. */
  readonly currency: string;
  /** Kept back: why. */
  readonly notes: string;
}

/** What a member agrees to. Its id is the member's; only that member writes it. */
export interface Consent extends Kept {
  readonly names_on_slips: boolean;
}

/** The stone as it was when its grades were published. */
export interface SlipStone {
  readonly code: string;
  readonly kind: string;
  readonly form: string;
  readonly length_mm: number;
  readonly width_mm: number;
  readonly thickness_mm: number;
  readonly mass_g: number | null;
  readonly density_g_cm3: number | null;
  readonly colour: string;
  readonly face: Face;
  readonly sides_sealed: boolean;
  readonly marks: readonly Mark[];
}

export interface SlipGrade {
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly at_end: "low" | "high" | null;
  /** The protocol's words for the nearest level. */
  readonly words: string | null;
  readonly by_steel: readonly {
    readonly steel: string;
    readonly steel_name: string;
    readonly grade: number;
    readonly low90: number;
    readonly high90: number;
    readonly n_trials: number;
  }[];
}

/** A published grade. It never changes: another one is issued, and this one withdrawn. */
export interface Slip extends Kept {
  readonly stone_id: string;
  readonly purpose: Purpose;
  /** Why it was published although something stood in the way. */
  readonly override_reason: string | null;
  readonly notes: string;
  /** What a buyer checks it by; empty until the service has issued it, as everything below. */
  readonly code: string;
  readonly issued_on: string;
  readonly club_name: string;
  readonly stone: SlipStone | null;
  readonly grades: readonly SlipGrade[];
  readonly evidence: {
    readonly n_trials: number;
    readonly n_testers: number;
    readonly n_steels: number;
    readonly steels: readonly string[];
    readonly level_note: string;
    /** Where what was noted of the stone contradicts a grade; like all below, not on the oldest slips. */
    readonly signs_note?: string;
    /** The last look at the graded face before the slip; null: there was none. */
    readonly inspected?: { readonly at: string } | null;
    /** Whose trials it rests on. For the club alone: the public page names those who agree. */
    readonly tester_ids?: readonly string[];
  } | null;
  readonly findings: readonly { readonly verdict: string; readonly urgency: string; readonly because: string }[];
  readonly care: readonly string[];
  readonly method_version: string;
  readonly inputs_digests: Readonly<Record<string, string>>;
  readonly pool_revision: number;
}

/** What a buyer wishes, as asked of POST /match and kept with a shortlist. */
export interface MatchWish {
  readonly purpose: Purpose;
  readonly blades: readonly WishBlade[];
  readonly finish: FinishName;
  readonly skill: "learning" | "practised" | "experienced";
  readonly owned: { readonly system: GritBand["system"]; readonly number: number } | null;
  readonly budget: { readonly amount: number; readonly currency: string } | null;
  readonly size: {
    readonly min_length_mm: number | null;
    readonly min_width_mm: number | null;
    readonly max_mass_g: number | null;
  } | null;
  /** Wishes that shall not count. */
  readonly waived: readonly WishName[];
}
export type FinishName =
  | "new_bevel" | "toothy" | "clean" | "polished" | "before_finish" | "shaving" | "finest" | "working" | "tool_polish";
export type WishName = "finish" | "skill" | "hardness" | "step" | "budget" | "size";

export interface WishBlade {
  readonly name: string;
  /** A key of GET /steels; null: the type is not known. */
  readonly steel: string | null;
  readonly steel_class: SteelClass | null;
  readonly hrc: number | null;
  readonly bevel: "narrow" | "ordinary" | "wide";
}

/** Stones found for one buyer on one day. It never changes: another one is made, and this one withdrawn. */
export interface Shortlist extends Kept {
  readonly name: string;
  readonly wish: MatchWish;
  readonly stone_ids: readonly string[];
  /** A word to the buyer. */
  readonly notes: string;
  /** What leads to its page; empty until the service has fixed it, as everything below. */
  readonly code: string;
  readonly made_on: string;
  readonly club_name: string;
  readonly found: ShortlistFound | null;
  readonly method_version: string;
  readonly pool_revision: number;
}

export interface ShortlistFound {
  readonly verdict: string;
  readonly finish_words: string;
  readonly skill_words: string;
  readonly owned_words: string | null;
  readonly computed_at: string;
  readonly needs: readonly { readonly blade: string; readonly steel_words: string }[];
  readonly stones: readonly { readonly stone_id: string; readonly code: string; readonly probability: number; readonly odds: string }[];
}

export interface Photo {
  readonly id: string;
  readonly revision: number;
  readonly version: number;
  readonly sha256: string;
  readonly media_type: string;
  readonly bytes: number;
  readonly width: number;
  readonly height: number;
}

/** Every kind of record that travels, by the name the service gives it. */
export interface Records {
  club: Club;
  member: Member;
  lot: Lot;
  stone: Stone;
  blade: Blade;
  protocol: Protocol;
  rule_set: RuleSet;
  inspection: Inspection;
  trial: Trial;
  repair: Repair;
  lapping: Lapping;
  check_stone: CheckStone;
  assignment: Assignment;
  hand_over: HandOver;
  slip: Slip;
  offer: Offer;
  consent: Consent;
  shortlist: Shortlist;
  photo: Photo;
}
export type Thing = keyof Records;
/** What a member may write. A photo is written as bytes, see sync/commands.ts. */
export type WrittenThing = Exclude<Thing, "photo">;

/** The fields of a record that its writer sets: everything but what is kept about it and what the service adds. */
interface ServiceAdds {
  club: "slug";
  member: never;
  lot: never;
  stone: never;
  blade: never;
  protocol: never;
  rule_set: never;
  inspection: "verdicts" | "rule_set_version";
  trial: "excluded";
  repair: never;
  lapping: never;
  check_stone: never;
  assignment: never;
  hand_over: never;
  offer: never;
  consent: never;
  slip: SlipAdds;
  shortlist: "code" | "made_on" | "club_name" | "found" | "method_version" | "pool_revision";
}
type SlipAdds =
  | "code" | "issued_on" | "club_name" | "stone" | "grades" | "evidence" | "findings" | "care" | "method_version"
  | "inputs_digests" | "pool_revision";
export type OwnFields<T extends WrittenThing> = Omit<Records[T], keyof Kept | ServiceAdds[T]>;

const kept: Record<keyof Kept, true> = {
  id: true, version: true, revision: true, recorded_at: true, created_by: true, created_at: true,
  updated_at: true, updated_by: true, withdrawn: true,
};
const serviceAdds: { readonly [T in WrittenThing]: readonly string[] } = {
  club: ["slug"],
  member: [], lot: [], stone: [], blade: [], protocol: [], rule_set: [], check_stone: [], repair: [], lapping: [],
  assignment: [], hand_over: [], offer: [], consent: [],
  inspection: ["verdicts", "rule_set_version"],
  trial: ["excluded"],
  shortlist: ["code", "made_on", "club_name", "found", "method_version", "pool_revision"],
  slip: [
    "code", "issued_on", "club_name", "stone", "grades", "evidence", "findings", "care", "method_version",
    "inputs_digests", "pool_revision",
  ],
};

/** A record's own fields alone, ready to be edited and sent back. */
export function ownFields<T extends WrittenThing>(thing: T, record: Records[T]): OwnFields<T> {
  const own = Object.entries(record).filter(([name]) => !(name in kept) && !serviceAdds[thing].includes(name));
  return Object.fromEntries(own) as OwnFields<T>;
}

/** The path of a record below the API's base. */
export function pathOf(thing: Thing, id: string): string {
  return thing === "club" ? "/club" : `/${thing.replace("_", "-")}s/${id}`;
}
