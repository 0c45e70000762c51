import { describe, expect, it } from "vitest";
import { facesToConfirm, goneSinceTrial, type FaceHistory } from "../../src/domain/depth";

// Depths and the rule itself: common practice, no source. The arithmetic is checked by hand.
const on = (day: number): string => `2026-03-${String(day).padStart(2, "0")}T10:00:00Z`;
const trial = (day: number, thickness_mm: number | null, face: "front" | "back" = "front") =>
  ({ face, finished_at: on(day), thickness_mm, withdrawn: null });
const look = (day: number, thickness_mm: number | null) => ({ inspected_at: on(day), thickness_mm, withdrawn: null });
const lapping = (day: number, removed_um: number | null, thickness_after_mm: number | null = null, face: "front" | "back" = "front") =>
  ({ face, lapped_at: on(day), removed_um, thickness_after_mm, withdrawn: null });
const history = (more: Partial<FaceHistory>): FaceHistory => ({ trials: [], inspections: [], lappings: [], ...more });

describe("what went off a face since its last trial", () => {
  it("is the thickness then less the thickness now", () => {
    const worn = history({ trials: [trial(1, 20)], inspections: [look(3, 18.8), look(9, 17.6)] });
    expect(goneSinceTrial("front", worn)).toMatchObject({ lapped: false, since: on(1) });
    expect(goneSinceTrial("front", worn)?.gone_mm).toBeCloseTo(2.4, 9);
  });

  it("counts from the last trial of that face, not from the first", () => {
    const again = history({ trials: [trial(1, 20), trial(8, 18)], inspections: [look(3, 19), look(9, 17.5)] });
    expect(goneSinceTrial("front", again)?.gone_mm).toBeCloseTo(0.5, 9);
  });

  it("takes off what the log says came off the other face", () => {
    const other = history({ trials: [trial(1, 20)], lappings: [lapping(4, 2000, 18, "back")] });
    expect(goneSinceTrial("front", other)?.lapped).toBe(false);
    expect(goneSinceTrial("front", other)?.gone_mm).toBeCloseTo(0, 9);
  });

  it("goes by the log where nobody measured afterwards, adding up several lappings", () => {
    const logged = history({ trials: [trial(1, null)], lappings: [lapping(4, 900), lapping(5, 700)] });
    expect(goneSinceTrial("front", logged)?.lapped).toBe(true);
    expect(goneSinceTrial("front", logged)?.gone_mm).toBeCloseTo(1.6, 9);
  });

  it("adds a lapping that came after the last measuring, and no lapping that it measured already", () => {
    const since = history({ trials: [trial(1, 20)], inspections: [look(3, 19.5)], lappings: [lapping(2, 400), lapping(4, 900)] });
    expect(goneSinceTrial("front", since)?.gone_mm).toBeCloseTo(1.4, 9);
  });

  it("is nothing when the stone measures thicker: a reading was off, the stone did not grow", () => {
    expect(goneSinceTrial("front", history({ trials: [trial(1, 20)], inspections: [look(2, 20.3)] }))?.gone_mm).toBe(0);
  });

  it("is unknown for a face that was never tried, and where nothing tells", () => {
    expect(goneSinceTrial("back", history({ trials: [trial(1, 20)], inspections: [look(2, 15)] }))).toBeNull();
    expect(goneSinceTrial("front", history({ trials: [trial(1, 20)], inspections: [look(2, null)] }))).toBeNull();
  });

  it("does not count what was withdrawn, nor what was before the trial", () => {
    const mark = { at: on(9), by: "m", reason: "slip" };
    const told = history({
      trials: [trial(5, 20)], inspections: [look(1, 25), { ...look(7, 12), withdrawn: mark }], lappings: [lapping(2, 5000)],
    });
    expect(goneSinceTrial("front", told)).toBeNull();
  });
});

describe("which faces ask for a confirming trial", () => {
  it("those beyond the club's depth, not those at it", () => {
    const gone = (to: number) => facesToConfirm(history({ trials: [trial(1, 20)], inspections: [look(2, to)] }), 1).map(({ face }) => face);
    expect([gone(19), gone(18.9)]).toEqual([[], ["front"]]);
  });

  it("are quiet again once the face was tried anew", () => {
    const anew = history({ trials: [trial(1, 20), trial(6, 17.6)], inspections: [look(3, 17.6)], lappings: [lapping(2, 2400)] });
    expect(facesToConfirm(anew, 1)).toEqual([]);
  });
});
