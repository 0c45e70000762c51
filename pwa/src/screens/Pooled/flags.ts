/** What keeps a stone's grades from being ready, in the order in which it can be helped, and what else to know. Pure. */
import type { PooledScale, StoneGrade } from "../../domain/pooled";
import type { PublishRules } from "../../domain/records";
import { shortName } from "./scaleOrder";

export type Flag =
  | { readonly kind: "untried" }
  | { readonly kind: "testers"; readonly n: number; readonly min: number }
  | { readonly kind: "steels"; readonly n: number; readonly min: number }
  | { readonly kind: "wide" | "end_low" | "end_high"; readonly scale: string }
  | { readonly kind: "group" }
  | { readonly kind: "signs"; readonly scale: string; readonly foretold: number };

/**
 * Whether it keeps the grade from being ready. A grade at an end of the scale is an honest answer,
 * only an open one; and signs that contradict ask for a second look, not for more trials.
 */
export const hinders = (flag: Flag): boolean => flag.kind !== "end_low" && flag.kind !== "end_high" && flag.kind !== "signs";

export const isReady = (stone: Pick<PooledStone, "flags">): boolean => !stone.flags.some(hinders);

export const isTried = (stone: Pick<PooledStone, "flags">): boolean => !stone.flags.some((flag) => flag.kind === "untried");

/** By what the stones of the map can be picked out: how ready they are, and by what they still lack. */
export const standings = ["ready", "not_ready", "testers", "steels", "wide", "group", "signs", "untried"] as const;
export type Standing = (typeof standings)[number];
export const isStanding = (value: string): value is Standing => standings.some((one) => one === value);

export function isIn(stone: Pick<PooledStone, "flags">, standing: Standing): boolean {
  switch (standing) {
    case "ready": return isReady(stone);
    case "not_ready": return isTried(stone) && !isReady(stone);
    default: return stone.flags.some((flag) => flag.kind === standing);
  }
}

export interface PooledStone {
  readonly stone_id: string;
  /** By scale id. */
  readonly grades: ReadonlyMap<string, StoneGrade>;
  readonly flags: readonly Flag[];
}

/** Half the 90 % interval: the number that the club's publishing rule limits. */
export const halfWidth = (grade: Pick<StoneGrade, "low90" | "high90">): number => (grade.high90 - grade.low90) / 2;

/** The group that most stones belong to; the others share no tester with it. */
export function mainGroup(stones: readonly StoneGrade[]): number | null {
  const sizes = new Map<number, number>();
  for (const { group, n_trials } of stones) {
    if (n_trials > 0) sizes.set(group, (sizes.get(group) ?? 0) + 1);
  }
  return [...sizes].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0] ?? null;
}

/** Scales side by side, one entry a stone. */
export function byStone(scales: readonly PooledScale[], rules: PublishRules | null): PooledStone[] {
  const main = new Map(scales.map((scale) => [scale.scale, mainGroup(scale.stones)]));
  const grades = new Map<string, Map<string, StoneGrade>>();
  for (const scale of scales) {
    for (const grade of scale.stones) {
      const of = grades.get(grade.stone_id) ?? new Map<string, StoneGrade>();
      of.set(scale.scale, grade);
      grades.set(grade.stone_id, of);
    }
  }
  return [...grades].map(([stone_id, of]) => ({ stone_id, grades: of, flags: flagsOf(scales, of, main, rules) }));
}

function flagsOf(
  scales: readonly PooledScale[],
  grades: ReadonlyMap<string, StoneGrade>,
  main: ReadonlyMap<string, number | null>,
  rules: PublishRules | null,
): Flag[] {
  const known = [...grades.values()];
  if (known.every((grade) => grade.n_trials === 0)) return [{ kind: "untried" }];
  const flags: Flag[] = [];
  // A stone is as well supported as its least supported scale.
  const testers = Math.min(...known.map((grade) => grade.n_testers));
  const steels = Math.min(...known.map((grade) => grade.n_steels));
  if (rules && testers < rules.min_testers) flags.push({ kind: "testers", n: testers, min: rules.min_testers });
  if (rules && steels < rules.min_steels) flags.push({ kind: "steels", n: steels, min: rules.min_steels });
  for (const scale of scales) {
    const grade = grades.get(scale.scale);
    if (!grade) continue;
    if (rules && halfWidth(grade) > rules.max_half_width) flags.push({ kind: "wide", scale: shortName(scale) });
    if (grade.at_end) flags.push({ kind: grade.at_end === "low" ? "end_low" : "end_high", scale: shortName(scale) });
  }
  if (scales.some((scale) => {
    const grade = grades.get(scale.scale);
    return grade && grade.n_trials > 0 && grade.group !== main.get(scale.scale);
  })) flags.push({ kind: "group" });
  for (const scale of scales) {
    const check = scale.signs?.checks.find((c) => grades.get(scale.scale)?.stone_id === c.stone_id);
    if (check) flags.push({ kind: "signs", scale: shortName(scale), foretold: check.foretold });
  }
  return flags;
}

export type Order = "code" | "flags" | "width";

export function ordered(stones: readonly PooledStone[], order: Order, codeOf: (stone_id: string) => string): PooledStone[] {
  const byCode = new Intl.Collator("en", { numeric: true });
  const widest = (stone: PooledStone): number => Math.max(...[...stone.grades.values()].map(halfWidth));
  return [...stones].sort((a, b) =>
    (order === "flags" ? b.flags.filter(hinders).length - a.flags.filter(hinders).length : order === "width" ? widest(b) - widest(a) : 0)
    || byCode.compare(codeOf(a.stone_id), codeOf(b.stone_id)));
}
