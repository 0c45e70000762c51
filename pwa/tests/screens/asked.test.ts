import { expect, it } from "vitest";
import type { Assignment, Blade, Member, Protocol } from "../../src/domain/records";
import { tryHref } from "../../src/screens/Bench/readAsked";
import { receivers } from "../../src/screens/HandOver";
import { asked as say } from "../../src/words/asked";

const protocol = (id: string, purpose: Protocol["purpose"]): Protocol => ({ id, purpose }) as Protocol;
const blade = (id: string): Blade => ({ id }) as Blade;
const assignment = { stone_id: "s", purpose: "razor" } as Assignment;

it("the form of an asked trial is filled in where there is no choice, and only there", () => {
  const one = [protocol("r", "razor"), protocol("k", "knife")];
  expect(tryHref(assignment, one, [blade("heron")])).toBe("/stones/s/trial?protocol=r&blade=heron");
  expect(tryHref(assignment, one, [blade("heron"), blade("tern")])).toBe("/stones/s/trial?protocol=r");
  expect(tryHref(assignment, [...one, protocol("r2", "razor")], [blade("heron")])).toBe("/stones/s/trial");
});

it("a stone goes to anybody but who has it, oneself first", () => {
  const members = ["a", "b", "c"].map((id) => ({ id }) as Member);
  expect(receivers(members, "a", "c").map(({ id }) => id)).toEqual(["c", "b"]);
  expect(receivers(members, null, "b").map(({ id }) => id)).toEqual(["b", "a", "c"]);
});

it("a due day is told by how near it is, and as missed once it is over", () => {
  expect(["2026-03-01", "2026-03-02", "2026-03-03", "2026-02-28"].map((due) => say.due(due, "2026-03-01"))).toEqual([
    "due today", "due tomorrow", "due on 3 Mar 2026", "was due on 28 Feb 2026",
  ]);
});
