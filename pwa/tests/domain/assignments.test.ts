import { describe, expect, it } from "vitest";
import { askingFor, byUrgency, isDoneSince, lastHandOvers, openAssignments } from "../../src/domain/assignments";
import type { Assignment, HandOver, Trial } from "../../src/domain/records";

const gone = { at: "", by: null, reason: "r" };
const known = {
  protocols: [{ id: "pr", purpose: "razor" as const }, { id: "pk", purpose: "knife" as const }],
  blades: [{ id: "heron", steel: "white" }, { id: "wren", steel: "powder" }],
};
const asked = (more: Partial<Assignment> = {}): Assignment =>
  ({ id: "a", stone_id: "s", tester_id: "t", purpose: "razor", steel: "white", due_on: null, created_at: "2026-03-02T10:00:00Z", withdrawn: null, ...more }) as Assignment;
const tried = (more: Partial<Trial> = {}): Trial =>
  ({ stone_id: "s", created_by: "t", protocol_id: "pr", blade_id: "heron", finished_at: "2026-03-02T12:00:00Z", withdrawn: null, excluded: null, ...more }) as Trial;
const isOpen = (assignment: Assignment, ...trials: Trial[]): boolean => openAssignments([assignment], trials, known).length === 1;

describe("an asked trial", () => {
  it("is open until it is tried, and closed by its own tester's trial", () => {
    expect(isOpen(asked())).toBe(true);
    expect(isOpen(asked(), tried())).toBe(false);
    expect(isOpen(asked(), tried({ created_by: "u" }))).toBe(true);
    expect(isOpen(asked(), tried({ stone_id: "other" }))).toBe(true);
  });

  it("asks for its purpose, and for its steel only if it names one", () => {
    expect(isOpen(asked(), tried({ protocol_id: "pk" }))).toBe(true);
    expect(isOpen(asked(), tried({ blade_id: "wren" }))).toBe(true);
    expect(isOpen(asked({ steel: null }), tried({ blade_id: "wren" }))).toBe(false);
  });

  it("is not done by what was tried before it was asked; moments are compared, not their spelling", () => {
    expect(isOpen(asked(), tried({ finished_at: "2026-03-02T09:59:00Z" }))).toBe(true);
    expect(isOpen(asked(), tried({ finished_at: "2026-03-02T10:30:00+01:00" }))).toBe(true);
    expect(isOpen(asked(), tried({ finished_at: "2026-03-02T09:30:00-01:00" }))).toBe(false);
  });

  it("opens again when that trial is withdrawn, not when it is left out, and ends with its own withdrawal", () => {
    expect(isOpen(asked(), tried({ withdrawn: gone }))).toBe(true);
    expect(isOpen(asked(), tried({ excluded: { at: "", by: "d", reason: "r" } }))).toBe(false);
    expect(isOpen(asked({ withdrawn: gone }))).toBe(false);
  });

  it("comes by due day, then by when it was asked", () => {
    const list = [
      asked({ id: "late" }), asked({ id: "early", created_at: "2026-03-01T10:00:00Z" }),
      asked({ id: "due", due_on: "2026-04-01" }), asked({ id: "sooner", due_on: "2026-03-05" }),
    ];
    expect(list.sort(byUrgency).map(({ id }) => id)).toEqual(["sooner", "due", "early", "late"]);
  });

  it("is found by what it asks for", () => {
    const wanted = { tester_id: "t", stone_id: "s", steel: "white" };
    expect(askingFor([asked()], wanted, "razor")?.id).toBe("a");
    expect(askingFor([asked({ steel: null })], wanted, "razor")?.id).toBe("a");
    expect(askingFor([asked(), asked({ steel: null })], { ...wanted, tester_id: "u" }, "razor")).toBeUndefined();
    expect(askingFor([asked({ steel: "powder" })], wanted, "razor")).toBeUndefined();
    expect(askingFor([asked()], wanted, "knife")).toBeUndefined();
  });
});

it("a planned trial is done by its tester with its steel, after the plan and for its purpose", () => {
  const wanted = { tester_id: "t", stone_id: "s", steel: "white" };
  const isDone = (trial: Trial, since = "2026-03-02T10:00:00Z"): boolean => isDoneSince(since, wanted, "razor", [trial], known);
  expect(isDone(tried())).toBe(true);
  expect([isDone(tried({ created_by: "u" })), isDone(tried({ stone_id: "o" })), isDone(tried({ blade_id: "wren" })), isDone(tried({ protocol_id: "pk" }))]).toEqual([false, false, false, false]);
  expect(isDone(tried({ withdrawn: gone }))).toBe(false);
  expect(isDone(tried(), "2026-03-02T12:00:00Z")).toBe(false);
});

describe("who has a stone", () => {
  const over = (id: string, handed_at: string, holder_id: string | null, more: Partial<HandOver> = {}): HandOver =>
    ({ id, stone_id: "s", handed_at, holder_id, withdrawn: null, ...more }) as HandOver;
  const holder = (...all: HandOver[]) => lastHandOvers(all).get("s")?.holder_id;

  it("is told by the last hand-over, whatever the order they arrived in", () => {
    const [first, second] = [over("1", "2026-03-01T10:00:00Z", "t"), over("0", "2026-03-02T10:00:00Z", "u")];
    expect([holder(first, second), holder(second, first)]).toEqual(["u", "u"]);
    expect(holder(first, over("2", "2026-03-03T10:00:00Z", null))).toBeNull();
    expect(holder()).toBeUndefined();
  });

  it("is told by the later id when two were noted for one moment, and by none that was withdrawn", () => {
    const [a, b] = [over("1", "2026-03-01T10:00:00Z", "t"), over("2", "2026-03-01T11:00:00+01:00", "u")];
    expect([holder(a, b), holder(b, a)]).toEqual(["u", "u"]);
    expect(holder(a, { ...b, withdrawn: gone })).toBe("t");
  });
});
