/** How far the panel agrees, in plain words. */
import type { AlphaBand, IccBand } from "../domain/agreement";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);
const list = (names: readonly string[]): string =>
  names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1] ?? ""}`;
/** With a true minus, and no break between a figure and its sign. */
const figure = (value: number): string => value.toFixed(2).replace("-", "−");
const between = (low: number, high: number): string => `95\u00a0% between ${figure(low)} and ${figure(high)}`;

const alphaWords: Readonly<Record<AlphaBand, string>> = {
  below: "too little to conclude anything",
  tentative: "enough for tentative conclusions",
  reliable: "enough to rely on",
};
const iccWords: Readonly<Record<IccBand, string>> = { poor: "poor", moderate: "moderate", good: "good", excellent: "excellent" };

export const agreement = {
  title: "How far the panel agrees",
  back: "Pooled grades",
  lead: "These figures look at the grades as they were given. The pooled grades correct each tester's level and weigh the steady ones more, so they stand better than any single figure here.",
  reading: "Reading the club…",
  asking: "Counting every pair of grades…",
  notForYou: "How the panel agrees is for dealers and stewards. Your own standing is on its own page.",
  mine: "How I grade",
  purpose: "Purpose",
  noPurpose: "No protocol on this phone yet. Go on line once.",
  trouble: {
    no_network: "These figures need the service, and there is no signal just now.",
    signed_out: "These figures need the service. Sign in, then come back.",
    not_allowed: "The service does not show you these.",
    trouble: "The service could not work them out just now. Try again in a moment.",
  } as Readonly<Record<string, string>>,
  again: "Try again",
  signIn: "Sign in",
  basis: (n: number, units: number, raters: number): string =>
    `${many(n, "grade", "grades")} by ${many(raters, "tester", "testers")}, of ${many(units, "stone-and-steel pair", "stone-and-steel pairs")}. A pair is one stone with one steel: that a stone suits one steel and slips on another is no disagreement.`,
  tooFew: (units: number, least: number): string =>
    `Only ${many(units, "pair was", "pairs were")} graded by two or more. With fewer than ${least} do not believe it either way.`,
  figure: (name: string, value: string): string => `${name} ${value}`,

  alpha: {
    name: "Do they give the same grade?",
    term: "Krippendorff's alpha",
    value: (alpha: number): string => figure(alpha),
    interval: between,
    none: "There is no figure.",
    means: (alpha: number): string => {
      const share = Math.round(Math.max(0, 1 - alpha) * 100);
      if (alpha <= 0) return "The testers differ on the same stone as much as if they graded blindly.";
      return `Two testers on the same stone differ by ${share} % of what two grades picked at random would, in squares. 1 would be full agreement, 0 blind chance.`;
    },
    reads: (band: AlphaBand): string => `By Krippendorff's customary bounds (.667 and .800) this is ${alphaWords[band]}.`,
    open: (low: AlphaBand, high: AlphaBand): string =>
      `By Krippendorff's customary bounds (.667 and .800) the interval runs from “${alphaWords[low]}” to “${alphaWords[high]}”: more shared trials will tell.`,
    when: "A severe tester lowers it, though pooling corrects for that. Stones that are all alike lower it too: then there is little to agree on.",
    source: "Bounds: Krippendorff, Content Analysis (2004), page 241. Interval: resampled pairs.",
  },

  icc: {
    name: "How far can one tester's grade be trusted?",
    term: "Intraclass correlation, absolute agreement, one tester: ICC(2,1)",
    none: "There is no figure.",
    value: (icc: number): string => figure(icc),
    interval: between,
    means: (icc: number): string =>
      `Of the spread of single grades, ${Math.round(Math.max(0, icc) * 100)}\u00a0% comes from the stones; the rest from who graded and from chance.`,
    reads: (band: IccBand): string => `By Koo and Li's bounds (.50, .75, .90) that is ${iccWords[band]}.`,
    open: (low: IccBand, high: IccBand): string => `By Koo and Li's bounds (.50, .75, .90) the interval runs from “${iccWords[low]}” to “${iccWords[high]}”.`,
    mean: (k: number, value: number, low: number | null, high: number | null): string =>
      `The mean of ${k === 2 ? "both" : `all ${k}`} would reach ${figure(value)}${low === null || high === null ? "" : ` (${between(low, high)})`}.`,
    consistent: (value: number, low: number | null, high: number | null): string =>
      `With each tester's own level taken out it is ${figure(value)}${low === null || high === null ? "" : ` (${between(low, high)})`}: that is nearer to what pooling makes of the grades.`,
    block: (names: readonly string[], units: number): string =>
      `It rests on ${many(units, "pair", "pairs")} that ${list(names)} ${names.length === 2 ? "both" : "all"} graded once: the testers who share the most. It speaks for them alone.`,
    source: "Bounds: Koo and Li, Journal of Chiropractic Medicine 15 (2016), pages 155–163.",
  },

  w: {
    name: "Do they put the stones in the same order?",
    term: "Kendall's W, corrected for ties",
    none: "There is no figure.",
    value: (w: number): string => w.toFixed(2),
    means: (w: number, judges: number): string => {
      // Kendall (1948): the mean rank correlation of all pairs is (m·W − 1)/(m − 1).
      const mean = (judges * w - 1) / (judges - 1);
      return `0 is no common order, 1 the same order. Taken two by two, the testers' orders correlate by ${figure(mean)} on the average.`;
    },
    chance: (p: number): string => (p < 0.001 ? "Chance alone would give so much in fewer than 1 of 1,000 such panels." : `Chance alone would give so much in about ${many(Math.max(1, Math.round(p * 1000)), "panel", "panels")} of 1,000.`),
    rough: "With fewer than eight pairs that probability is rough.",
    noBounds: "No bounds for it are in general use, so none are given. It has no interval here.",
    ties: "Levels do not matter to it: a severe tester with the same order agrees fully.",
  },

  precision: {
    name: "How far do two grades lie apart?",
    term: "Precision in the manner of ISO 5725-2",
    none: "There is no figure.",
    interval: "apart at the most, by one tester, in 95 of 100 cases",
    one: (limit: number): string => `The same tester twice on the same stone with the same steel: apart by less than ${limit.toFixed(1)} in 95 of 100 cases.`,
    two: (limit: number): string => `Two testers: apart by less than ${limit.toFixed(1)} in 95 of 100 cases.`,
    sds: (r: number, R: number | null): string =>
      `Standard deviations, in grades: ${r.toFixed(2)} within a tester (repeatability)${R === null ? "" : `, ${R.toFixed(2)} across testers (reproducibility)`}.`,
    basis: (n: number, levels: number, labs: number, df: number): string =>
      `${many(n, "grade", "grades")} of ${many(levels, "pair", "pairs")} by ${many(labs, "tester", "testers")}; repeats give ${many(df, "degree", "degrees")} of freedom.`,
    fewRepeats: (df: number): string => `${many(df, "degree", "degrees")} of freedom from repeats ${df === 1 ? "is" : "are"} too few to believe the first figure: ask testers to repeat a stone after some weeks.`,
    noBounds: "The standard sets no bound; the club does, by what a buyer would notice. It has no interval here.",
    source: "Limits are 2.8 times the standard deviation (ISO 5725-6). Grades on a scale by halves are rounded, which the standard does not foresee.",
  },
  whyNone: (why: string): string => `Why: ${why}`,
};

/** On the pooled grades. */
export const agreementLink = "How far the panel agrees";
