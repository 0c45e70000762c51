/** Rules in plain words: what they look at, and what is said on the stewards' form. */

import type { Urgency } from "../domain/records";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const rules = {
  title: "Rules",
  back: "Me",
  reading: "Reading the rules…",
  none: "Your club's rules are not on this phone yet. Go on line once.",
  lead: "What an inspection is judged by. A new inspection is judged by the rules of its day; earlier verdicts stay as they were.",
  onlySteward: "Only your steward changes thresholds.",
  version: (n: number): string => `Version ${n}`,
  groups: { finding: "One finding", inspection: "One face", stone: "The whole stone" } as const,
  plain: (n: number): string => many(n, "rule without a threshold", "rules without a threshold"),
  when: "When",
  says: "Says",
  range: (low: number, high: number, unit: string): string => `${low} to ${high}${unit === "" ? "" : ` ${unit}`}`,
  was: (value: number, unit: string): string => `was ${value}${unit === "" ? "" : ` ${unit}`}`,
  changed: (n: number): string => many(n, "threshold changed", "thresholds changed"),
  unchanged: "No threshold is changed.",
  missing: "One threshold is empty or out of its range.",

  effect: "See the effect",
  asking: "Asking…",
  save: "Save",
  saving: "Saving…",
  drop: "Put them back",
  effectTitle: "What it would change",
  stale: "You changed a threshold since. Look at the effect again.",
  ofFaces: (n: number): string => `Of the last looks at ${many(n, "face", "faces")}:`,
  noEffect: "No verdict changes.",
  changes: (n: number): string => `${many(n, "face gets", "faces get")} other verdicts.`,
  loses: "loses",
  gains: "gains",
  cannot: (n: number): string => `${many(n, "face", "faces")} cannot be judged by these rules:`,
  offline: "The effect is worked out by the service. Try again with a signal. You may save without it; the rules go out with the next signal.",
  failed: (why: string): string => `The service did not answer: ${why}`,
  notSaved: (why: string): string => `It could not be saved on this phone: ${why}`,
  notKept: (why: string): string => `This phone could not keep the last entry: ${why}`,
  saved: "Saved. The rules go to the club as soon as there is a signal.",
  clash: (name: string | null): string => `${name ?? "Somebody else"} changed the rules while yours waited`,
  clashLead: "Theirs first, then yours. Whichever you leave stays readable among the versions or under Me.",

  versions: "Earlier versions",
  showVersions: "Show earlier versions",
  noVersions: "The earlier versions are with the service. Try again with a signal.",
  first: "As the club began.",
  by: (name: string | null): string => (name === null ? "by the service" : `by ${name}`),
  nothing: "No threshold changed.",
  came: (rule: string): string => `New rule: ${rule}`,
  went: (rule: string): string => `Rule taken out: ${rule}`,
  moved: (label: string, from: number, to: number, unit: string): string => `${label}: ${from} → ${to}${unit === "" ? "" : ` ${unit}`}`,

  face: (face: string): string => face.toLowerCase(),
  finding: "a finding",
  urgency: {
    none: "nothing to do", watch: "keep an eye on it", soon: "do it soon", before_use: "before use", reject: "set aside",
  } as const satisfies Record<Urgency, string>,
};

/** Facts that are yes or no, both ways. */
export const yesNoFacts: Readonly<Record<string, readonly [yes: string, no: string]>> = {
  catches_nail: ["a fingernail catches", "no fingernail catches"],
  catches_edge: ["a soft edge catches", "no soft edge catches"],
  scratches_finish: ["it scratches the finish", "it does not scratch the finish"],
  stays_dark_wet: ["it stays dark when the rest has dried", "it dries with the rest"],
  moves_when_pressed: ["it moves when pressed", "it does not move when pressed"],
  relieved: ["it was relieved below the face", "it was not relieved"],
  sides_sealed: ["the sides are sealed", "the sides are not sealed"],
  lapped_before: ["the face was lapped before", "the face was never lapped"],
  flatness_read: ["flatness was read", "no flatness was read"],
  repaired_since: ["a repair was done since", "no repair was done since"],
  face_marked: ["the face carries a stamp or natural skin", "the face carries no mark"],
  sizes_known: ["its sizes are on record", "its sizes are not on record"],
};

/** Facts that are a word out of a few: how a sentence with them runs. */
export const wordFacts: Readonly<Record<string, (words: string) => string>> = {
  kind: (words) => `the finding is ${words}`,
  reach: (words) => `it ${words}`,
  form: (words) => `the stone is ${words}`,
  stone_kind: (words) => `the stone is ${words}`,
  tap_tone: (words) => `tapped, the stone ${words}`,
  uptake_class: (words) => `a drop on the face ${words}`,
};

export const factValues: Readonly<Record<string, string>> = {
  inside: "reaches no edge", one_edge: "reaches one edge", corner: "cuts off a corner", opposite_edges: "runs from edge to edge",
  rattle: "rattles", dull: "sounds dull", ring: "rings",
  beads: "stays", slow: "is drawn in slowly", quick: "is drawn in quickly", at_once: "is gone at once",
  bench: "a bench stone", hand: "a hand stone", finger: "a finger stone", irregular: "of irregular form",
  fissure: "a fissure", inclusion: "an inclusion", line: "a line", chip: "a chip", soft_spot: "a soft spot", stain: "a stain",
};

/** Facts that are measured, as they are called. */
export const numberFacts: Readonly<Record<string, string>> = {
  length_mm: "its length", angle_deg: "its angle to the edge", dip_deg: "its angle to the face", size_mm: "its size", depth_mm: "its depth",
  corner_distance_mm: "its distance to the corner", edge_distance_mm: "its distance to the edge",
  face_share_percent: "its share of the face", piece_long_mm: "the long leg", piece_short_mm: "the short leg",
  piece_area_mm2: "the area", piece_mass_g: "the mass", kind: "finding", n_fissures: "the number of fissures",
  fissure_length_mm: "their length", fissure_length_percent: "their share", flatness_um: "the flatness", flatness_shape: "its shape",
  fineness_grade: "its fineness", uptake_class: "what a drop does", thickness_mm: "the thickness", usable_length_mm: "the usable length",
  usable_width_mm: "the usable width", usable_share_percent: "the usable share", density_g_cm3: "the density", mass_g: "the mass",
};

export const condition = {
  or: " or ",
  and: " and ",
  none: (words: string): string => `not: ${words}`,
  untried: (fact: string): string => `nobody has looked whether ${fact}`,
  unknown: (fact: string): string => `${fact} is not known`,
  atLeast: (fact: string, n: string): string => `${fact} is ${n} or more`,
  atMost: (fact: string, n: string): string => `${fact} is ${n} or less`,
  above: (fact: string, n: string): string => `${fact} is above ${n}`,
  below: (fact: string, n: string): string => `${fact} is below ${n}`,
  other: "a further condition of your club's own holds",
  always: "always",
};
