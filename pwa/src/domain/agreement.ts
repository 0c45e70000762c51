/** How far the panel agrees, as the service answers it (GET /agreement). A figure that the trials do not allow is null. */
import type { Purpose } from "./records";

export interface Alpha {
  readonly alpha: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly n_units: number;
  readonly n_raters: number;
  readonly n_ratings: number;
  readonly note: string;
}

export interface Icc {
  readonly icc: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

export interface IccFamily {
  /** One tester's grade, raters a sample, absolute agreement. */
  readonly two_1: Icc;
  /** The mean of all these testers' grades, likewise. */
  readonly two_k: Icc;
  /** One tester's grade, these testers only, consistency. */
  readonly three_1: Icc;
  readonly n_targets: number;
  readonly n_raters: number;
}

export interface Concordance {
  readonly w: number | null;
  readonly p: number | null;
  readonly n_judges: number;
  readonly n_things: number;
}

/** In grades of the scale; repeatability within one tester, reproducibility across testers. */
export interface Precision {
  readonly repeatability_sd: number | null;
  readonly between_sd: number | null;
  readonly reproducibility_sd: number | null;
  readonly repeatability_limit: number | null;
  readonly reproducibility_limit: number | null;
  readonly n_levels: number;
  readonly n_labs: number;
  readonly n_results: number;
  readonly df_repeatability: number;
}

export interface AgreementReport {
  readonly alpha: Alpha;
  readonly icc: IccFamily | null;
  readonly kendall_w: Concordance | null;
  readonly precision: Precision | null;
  readonly n_units: number;
  readonly n_raters: number;
  readonly n_ratings: number;
  readonly n_repeats: number;
  /** By figure, why there is none. */
  readonly why_not: Readonly<Record<string, string>>;
  /** Whose grades ICC and W rest on: the testers who share the most stones. */
  readonly block: { readonly tester_ids: readonly string[]; readonly n_units: number };
}

export interface AgreementScale {
  readonly scale: string;
  readonly name: string;
  readonly n_ratings: number;
  readonly report: AgreementReport | null;
  readonly why_not: string | null;
}

export interface Agreement {
  readonly purpose: Purpose;
  readonly scales: readonly AgreementScale[];
}

/** What a figure is worth as far as its interval lets one say; "open": the interval reaches over a bound. */
export type Reading<Band extends string> = { readonly kind: "too_few" } | { readonly kind: "none" } | { readonly kind: "within"; readonly band: Band } | { readonly kind: "open"; readonly low: Band; readonly high: Band };

const band = <B extends string>(value: number, bounds: readonly (readonly [number, B])[], lowest: B): B =>
  bounds.reduce((found, [at, name]) => (value >= at ? name : found), lowest);

/** Fewer shared stones than this, and no figure of agreement is believed. A rule of our own: intervals of fewer mislead. */
export const fewestUnits = 10;

/**
 * Krippendorff's customary bounds: from .800 on data can be relied on, from .667 on for tentative conclusions only
 * (Krippendorff, Content Analysis, 2nd edition 2004, page 241; from memory). Read off both ends of the interval, as he asks.
 */
export type AlphaBand = "below" | "tentative" | "reliable";
export function readAlpha({ alpha, low95, high95, n_units }: Alpha): Reading<AlphaBand> {
  if (alpha === null) return { kind: "none" };
  if (n_units < fewestUnits || low95 === null || high95 === null) return { kind: "too_few" };
  const of = (value: number): AlphaBand => band(value, [[0.667, "tentative"], [0.8, "reliable"]], "below");
  return spanned(of(low95), of(high95));
}

/**
 * Koo and Li's bounds, .50, .75 and .90 (Journal of Chiropractic Medicine 15, 2016, 155–163; from memory), read off both ends of the
 * 95 % interval, as they ask.
 */
export type IccBand = "poor" | "moderate" | "good" | "excellent";
export function readIcc({ icc, low95, high95 }: Icc, n_units: number): Reading<IccBand> {
  if (icc === null) return { kind: "none" };
  if (n_units < fewestUnits || low95 === null || high95 === null) return { kind: "too_few" };
  const of = (value: number): IccBand => band(value, [[0.5, "moderate"], [0.75, "good"], [0.9, "excellent"]], "poor");
  return spanned(of(low95), of(high95));
}

const spanned = <B extends string>(low: B, high: B): Reading<B> => (low === high ? { kind: "within", band: low } : { kind: "open", low, high });
