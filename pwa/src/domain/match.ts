/** A buyer's wish as a form's values, as what is asked of the service, and its answer. */
import type { FinishName, GritBand, MatchWish, Purpose, SteelClass, WishBlade, WishName } from "./records";
import { grain, Refused } from "./soundness";

/** What a wish is made of, as the service knows it. */
export interface Steels {
  readonly classes: readonly { readonly steel_class: SteelClass; readonly name: string; readonly hrc_low: number; readonly hrc_high: number }[];
  readonly club: readonly ClubSteel[];
  readonly common: readonly CommonSteel[];
  readonly bevels: readonly { readonly bevel: WishBlade["bevel"]; readonly words: string }[];
  readonly finishes: readonly Finish[];
  readonly skills: readonly { readonly skill: MatchWish["skill"]; readonly words: string; readonly least_ease: number; readonly because: string }[];
  readonly step: string;
}
export interface ClubSteel {
  readonly steel: string;
  readonly name: string;
  readonly steel_class: SteelClass;
}
export interface CommonSteel extends ClubSteel {
  readonly hrc_low: number;
  readonly hrc_high: number;
}
export interface Finish {
  readonly finish: FinishName;
  readonly purpose: Purpose;
  readonly words: string;
  readonly means: string;
  readonly low: number | null;
  readonly high: number | null;
  readonly because: string;
  readonly grit_low: number;
  readonly grit_high: number;
}

export interface FoundGrade {
  readonly blade: number;
  readonly scale: string;
  readonly name: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly grade: number;
  readonly low90: number;
  readonly high90: number;
  readonly want_low: number | null;
  readonly want_high: number | null;
  readonly probability: number | null;
  readonly n_trials: number;
}

/** A stone found for a wish. */
export interface FoundStone {
  readonly stone_id: string;
  readonly code: string;
  readonly kind: string;
  readonly form: string;
  readonly length_mm: number;
  readonly width_mm: number;
  readonly thickness_mm: number;
  readonly mass_g: number | null;
  readonly colour: string;
  readonly price: number | null;
  readonly currency: string | null;
  readonly offer_state: "for_sale" | "reserved" | "sold" | "kept_back" | null;
  readonly probability: number;
  readonly odds: string;
  readonly by_blade: readonly { readonly blade: string; readonly probability: number; readonly odds: string }[];
  readonly grades: readonly FoundGrade[];
  readonly finish_bands: readonly { readonly system: GritBand["system"]; readonly low: number; readonly high: number; readonly n: number }[];
  readonly speaks_for: readonly string[];
  readonly against: readonly string[];
  readonly uncertain: readonly string[];
  readonly evidence: { readonly n_trials: number; readonly n_testers: number; readonly thin: boolean };
  readonly slip_code: string | null;
  readonly slip_issued_on: string | null;
}

export interface Need {
  readonly blade: string;
  readonly mapped: "same" | "class" | "any";
  readonly steels: readonly string[];
  readonly steel_words: string;
  readonly hrc_words: string | null;
  readonly bands: readonly {
    readonly wish: WishName;
    readonly scale: string;
    readonly low: number | null;
    readonly high: number | null;
    readonly words: string;
    readonly reasons: readonly string[];
  }[];
}

/** What one wish less would bring at best. `wish`: a wish's name, or "blade:" and its number from 0. */
export interface Relax {
  readonly wish: string;
  readonly words: string;
  readonly probability: number;
  readonly stone_id: string;
}

/** The service's answer to a wish. */
export interface Found {
  readonly purpose: Purpose;
  readonly method_version: string;
  readonly pool_method_version: string;
  readonly revision: number;
  readonly computed_at: string;
  readonly behind: boolean;
  readonly finish_words: string;
  readonly finish_means: string;
  readonly skill_words: string;
  readonly owned_words: string | null;
  readonly needs: readonly Need[];
  readonly missing_scales: readonly string[];
  readonly n_stones: number;
  readonly n_considered: number;
  readonly verdict: string;
  readonly fits: boolean;
  readonly best: number;
  readonly left_out: readonly { readonly reason: string; readonly words: string; readonly stone_ids: readonly string[] }[];
  readonly relax: readonly Relax[];
  readonly ranked: readonly FoundStone[];
}

export type Values = Readonly<Record<string, unknown>>;

export const newBlade: WishBlade = { name: "", steel: null, steel_class: null, hrc: null, bevel: "ordinary" };
/** As many as the service takes. */
export const most_blades = 6;
/** As many stones as a shortlist takes. */
export const most_listed = 20;
/** From here on a stone is likelier to serve than not. */
export const even = 0.5;

export const bladesOf = (values: Values): readonly WishBlade[] => {
  const blades = values["blades"];
  return Array.isArray(blades) && blades.length > 0 ? (blades as readonly WishBlade[]) : [newBlade];
};
export const purposeOf = (values: Values): Purpose => (values["purpose"] as Purpose | undefined) ?? "knife";
export const waivedOf = (values: Values): readonly WishName[] => (values["waived"] as readonly WishName[] | undefined) ?? [];
export const chosenOf = (values: Values): readonly string[] => (values["chosen"] as readonly string[] | undefined) ?? [];

const numberAt = (values: Values, name: string): number | null => {
  const value = values[name];
  return typeof value === "number" ? value : null;
};

/** Why a form is no wish yet. */
export type NoWish = "finish" | "skill" | "currency" | { readonly grit: string };

/** What is asked of the service, or why nothing can be asked yet. */
export function toWish(values: Values): { readonly wish: MatchWish } | { readonly why: NoWish } {
  const finish = values["finish"], skill = values["skill"];
  if (typeof finish !== "string") return { why: "finish" };
  if (typeof skill !== "string") return { why: "skill" };
  const number = numberAt(values, "owned_number");
  const system = (values["owned_system"] as GritBand["system"] | undefined) ?? "jis";
  if (number !== null) {
    try {
      grain(system, number);
    } catch (error) {
      if (error instanceof Refused) return { why: { grit: error.message } };
      throw error;
    }
  }
  const amount = numberAt(values, "budget");
  const currency = typeof values["currency"] === "string" ? values["currency"].trim().toUpperCase() : "";
  if (amount !== null && !/^[A-Z]{3}$/.test(currency)) return { why: "currency" };
  const size = {
    min_length_mm: numberAt(values, "min_length_mm"),
    min_width_mm: numberAt(values, "min_width_mm"),
    max_mass_g: numberAt(values, "max_mass_g"),
  };
  return {
    wish: {
      purpose: purposeOf(values),
      blades: bladesOf(values).map((blade) => ({ ...blade, name: blade.name.trim() })),
      finish: finish as FinishName,
      skill: skill as MatchWish["skill"],
      owned: number === null ? null : { system, number },
      budget: amount === null ? null : { amount, currency },
      size: Object.values(size).every((side) => side === null) ? null : size,
      waived: waivedOf(values),
    },
  };
}

/** The blade a stone serves least surely: its rulers are the ones to look at first. */
export function weakestBlade(stone: Pick<FoundStone, "by_blade">): number {
  let at = 0;
  stone.by_blade.forEach((blade, j) => {
    if (blade.probability < (stone.by_blade[at]?.probability ?? 1)) at = j;
  });
  return at;
}

/** Single wishes whose going would help: by a tenth and more, best first. A blade can be left out only by hand. */
export const helpful = (found: Pick<Found, "relax" | "best">): readonly Relax[] =>
  found.relax.filter((one) => one.probability >= found.best + 0.1);

export const isWishName = (wish: string): wish is WishName =>
  ["finish", "skill", "hardness", "step", "budget", "size"].includes(wish);

/** The same wish, whatever the order of its parts. */
export const sameWish = (a: MatchWish, b: MatchWish): boolean => JSON.stringify(a) === JSON.stringify(b);
