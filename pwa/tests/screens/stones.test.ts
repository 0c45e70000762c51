import { describe, expect, it } from "vitest";
import type { Inspection, Trial, Urgency } from "../../src/domain/records";
import { visibleRows } from "../../src/parts/LongList/window";
import { latestByFace, matches, standing } from "../../src/screens/Stones/state";

const inspection = (face: "front" | "back", at: string, urgencies: Urgency[] = [], withdrawn = false) => ({
  face, inspected_at: at, withdrawn: withdrawn ? { at, by: "m", reason: "" } : null,
  verdicts: urgencies.map((urgency, i) => ({ rule_id: `r${i}`, finding_id: null, verdict: `do ${urgency}`, urgency, because: "", caution: null, facts: {} })),
}) as unknown as Inspection;
const trial = (by: string, withdrawn = false) => ({ created_by: by, withdrawn: withdrawn ? { at: "", by, reason: "" } : null }) as unknown as Trial;
const own = (i: Inspection) => i.verdicts;

describe("a stone's standing", () => {
  it("without any record is to be inspected and not tried", () => {
    const now = standing([], [], "me", own);
    expect([...now.states].sort()).toEqual(["not_tried", "to_inspect"]);
    expect(now.chief).toBe("to_inspect");
  });

  it("asks for a hand from 'soon' upwards, and says the most urgent verdict", () => {
    expect(standing([inspection("front", "2026-01-01", ["none", "watch"])], [], "me", own).states.has("needs_hand")).toBe(false);
    const now = standing([inspection("front", "2026-01-01", ["soon", "before_use", "watch"])], [trial("me")], "me", own);
    expect(now.chief).toBe("needs_hand");
    expect(now.verdict).toBe("do before_use");
    expect(now.states.has("tried")).toBe(true);
  });

  it("goes by the latest inspection of each face: work done and looked at again no longer asks", () => {
    const before = inspection("front", "2026-01-01", ["before_use"]);
    const after = inspection("front", "2026-01-09", ["none"]);
    expect(standing([after, before], [], "me", own).states.has("needs_hand")).toBe(false);
    expect(standing([before, after, inspection("back", "2026-01-02", ["soon"])], [], "me", own).states.has("needs_hand")).toBe(true);
  });

  it("forgets a withdrawn inspection", () => {
    const latest = latestByFace([inspection("front", "2026-01-01", ["soon"]), inspection("front", "2026-01-09", [], true)]);
    expect(latest.front?.inspected_at).toBe("2026-01-01");
  });

  it("is tried only by an own trial that stands", () => {
    expect(standing([inspection("front", "2026-01-01")], [trial("other"), trial("me", true)], "me", own).chief).toBe("not_tried");
    expect(standing([inspection("front", "2026-01-01")], [trial("me"), trial("me")], "me", own).n_own_trials).toBe(2);
  });
});

describe("a long list", () => {
  const list = { top: 200, rowPx: 80, count: 5000 };
  it("draws only what is near the window", () => {
    expect(visibleRows(list, { scroll: 0, height: 800 }, 0)).toEqual({ from: 0, to: 8 });
    expect(visibleRows(list, { scroll: 200 + 80 * 1000, height: 800 }, 2)).toEqual({ from: 998, to: 1012 });
  });
  it("stays within the list at both ends, also when it shrank under the reader", () => {
    expect(visibleRows(list, { scroll: 1e9, height: 800 }, 3)).toEqual({ from: 5000, to: 5000 });
    expect(visibleRows({ ...list, count: 0 }, { scroll: 0, height: 800 }, 3)).toEqual({ from: 0, to: 0 });
  });
});

describe("a search", () => {
  const texts = ["HR-0107", "slate", "Harrow lot"];
  it("finds every word somewhere, whatever case, hyphen or order", () => {
    for (const search of ["hr0107", "HR-01", "slate harrow", "  ", "harrow 0107"]) expect(matches(search, texts), search).toBe(true);
    expect(matches("slate chert", texts)).toBe(false);
  });
});
