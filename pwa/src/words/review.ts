import { purposes } from "./trade";
import type { Purpose } from "../domain/records";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);
const grade = (value: number): string => value.toFixed(1);
const step = (value: number): string => Math.abs(value).toFixed(2);
const percent = (share: number): string => `${Math.round(100 * Math.max(0, share))} %`;

/** Reviewing one stone: every figure behind its grades, and leaving a trial out. */
export const review = {
  title: (code: string): string => `Review ${code}`,
  link: "Review the grades",
  linkFor: (purpose: Purpose): string => `Review the ${purposes[purpose].toLowerCase()} grades`,
  back: (code: string): string => (code === "" ? "Stones" : code),
  reading: "Reading the stone…",
  notForYou: "Grades are reviewed by dealers and stewards.",
  noStone: "This stone is not on this phone. Go on line once, so that it can come.",
  noPurpose: "No protocol on this phone yet. Go on line once.",
  purpose: "Purpose",
  untried: "Nobody has tried this stone for this purpose yet.",
  publish: "To publishing",
  plan: "Plan trials of it",

  face: "The face",
  noFindings: "No findings on this face.",
  notInspected: "This face has not been inspected yet.",
  photoFace: (code: string, n: number): string =>
    n === 0 ? `Photo of the face of ${code}, no findings recorded` : `Photo of the face of ${code} with ${many(n, "finding", "findings")} drawn on it`,
  photoBeside: (code: string): string => `Photo of the face of ${code}`,
  noCorners: "Nobody has marked the stone's corners on this photo, so the findings are drawn beside it.",
  photoAway: "The photo shows when there is a signal.",

  grades: "The grades",
  interval: (low: number, high: number): string => `90 % between ${grade(low)} and ${grade(high)}`,
  evidence: (trials: number, testers: number, steels: number): string =>
    `${many(trials, "trial", "trials")} by ${many(testers, "tester", "testers")} on ${many(steels, "steel", "steels")}`,
  atEnd: { low: "At the low end: the true grade may lie below the scale.", high: "At the high end: the true grade may lie above the scale." },
  ungraded: "Not graded yet.",
  unsettled: "The computation did not settle for this scale. Treat its grades as rough.",
  whichScale: "Account of",

  trials: "What each trial says",
  trialsLead: "Each mark is a trial, with its tester's severity and its steel's lean taken out. The larger, the more it counts.",
  trialsChart: (scale: string, n: number): string => `${scale}: ${many(n, "trial", "trials")} under the grade ruler; the list and the table below say the same`,
  band: "Band: 90 % interval of the pooled grade. Dashed outlines are left out.",
  borrowed: (own: number): string =>
    `${percent(own)} of this grade rests on these trials, the rest on what the club's other stones are like.`,
  tap: "Tap a trial to see what it does to the grade.",
  trialsHead: ["Trial", "Given", "Tester's severity", "Steel's lean", "Corrected", "Expected", "Off by", "Weight", "Pull"],
  gave: (reported: string, corrected: number): string => `gave ${reported}, corrected ${grade(corrected)}`,
  gaveOnly: (reported: string): string => `gave ${reported}`,
  weight: (share: number): string => (share < 0.005 ? "weight under 1 %" : `weight ${percent(share)}`),
  slip: "read as a slip",
  somebody: "somebody no longer here",

  states: {
    excluded: (by: string, day: string, reason: string): string => `Left out by ${by} on ${day}: ${reason}`,
    off_scale: "Not pooled: the scale no longer has this grade.",
    not_yet: "Not pooled yet.",
    goesOut: "Will be left out once this reaches the service.",
    goesIn: "Will count again once this reaches the service.",
  },

  lower: (name: string, by: number): string => `${name} grades ${step(by)} below the panel.`,
  higher: (name: string, by: number): string => `${name} grades ${step(by)} above the panel.`,
  steelUp: (by: number): string => `With this steel stones come out ${step(by)} higher.`,
  steelDown: (by: number): string => `With this steel stones come out ${step(by)} lower.`,
  leaves: (reported: string, corrected: number): string => `That makes ${grade(corrected)} of the ${reported} given.`,
  pulls: (scale: string, by: number): string =>
    Math.abs(by) < 0.005 ? `It leaves ${scale.toLowerCase()} where it is.` : `It pulls ${scale.toLowerCase()} ${by > 0 ? "up" : "down"} by ${step(by)}.`,

  tryWithout: "See it without this trial",
  tryWith: "See it with this trial",
  working: "Working it out…",
  effect: { exclude: "Without this trial", include: "With this trial" },
  now: "Now",
  then: "Then",
  untouched: "not graded",
  noEffect: {
    no_network: "There is no signal, so the effect cannot be worked out just now.",
    signed_out: "You are signed out. Sign in to have the effect worked out.",
    not_allowed: "The service does not let you leave trials out.",
    not_found: "The service does not know this trial yet. Sync, then try again.",
    trouble: "The service could not work it out just now.",
  } as Readonly<Record<string, string>>,
  guess: (name: string, by: number): string => `${name} would move by about ${by < 0 ? "−" : "+"}${step(by)}.`,
  guessLead: "By the figures on this phone:",
  why: "Why leave it out?",
  whyHelp: "It stays readable, with your reason and name. You can put it back.",
  needsReason: "Give a reason; a few words will do.",
  leaveOut: "Leave it out",
  putBack: "Put it back",
  keepAsIs: "Keep it as it is",
  failed: (why: string): string => `It could not be saved on this phone: ${why}`,

  steels: "Per steel",
  steelsLead: "The same stone as each steel finds it.",
  steelsHead: ["Steel", "Grade", "90 % from", "to", "Trials"],
  steelTrials: (n: number): string => (n === 0 ? "no trial, the rest speaks" : many(n, "trial", "trials")),

  sticks: "What sticks out",
  sticksNone: "No grade sticks out.",
  sticksFurthest: (name: string, given: string, expected: number): string =>
    `The furthest is ${name}: gave ${given}, where ${grade(expected)} was to be expected. That is within the usual.`,
  sticksOut: (name: string, steel: string, given: string, expected: number, up: boolean): string =>
    `${name} gave ${given} with ${steel}. By everything else ${grade(expected)} was to be expected: far too ${up ? "high" : "low"} for chance.`,

  signs: "What the signs say",
  signsAgainst: (scale: string, foretold: number, give: number, told: number, leading: string | null): string =>
    `${leading === null ? "Its signs" : `Its signs, ${leading} above all,`} foretell ${scale.toLowerCase()} ${grade(foretold)} ± ${grade(give)}; the panel says ${grade(told)}. Inspect it again, or ask for another trial.`,
  signsWith: "Its signs do not contradict the grade.",
  signsUnused: "The signs are not used for this scale.",

  pulls_title: "What each trial does",
  pullsLead: "How far the grade would have stood elsewhere without it.",
  pullsChart: (scale: string, n: number): string => `${scale}: how far each of ${many(n, "trial", "trials")} moved the grade; the table below says the same`,
  pullsMost: (n: number): string => `The ${n} that pull most; the table has them all.`,
  pullsHead: ["Trial", "Moved it by", "Without it"],

  course: "How it settled",
  courseLead: "The grade after each trial, by what is known of testers and steels today.",
  courseChart: (scale: string, n: number): string => `${scale}: the grade and its 90 % interval before any trial and after each of ${n}; the table below says the same`,
  courseAxis: "trials in",
  courseHead: ["After", "Grade", "90 % from", "to"],
  before: "before any trial",
  method: (version: string, revision: number): string => `Method ${version}, club revision ${revision}.`,
};

/** The signs by the names that the service gives them. */
export const signNames: Readonly<Record<string, string>> = {
  water_uptake_s: "water uptake",
  bulk_density_g_cm3: "density",
  mud_shade: "the mud's shade",
  metal_share: "the mud's metal",
  strokes_to_mud: "strokes until mud",
};
