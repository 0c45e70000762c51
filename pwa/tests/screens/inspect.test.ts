import { describe, expect, it } from "vitest";
import type { Inspection } from "../../src/domain/records";
import { shrunkSize } from "../../src/screens/photo";
import { carriedFindings, changeFinding, flatnessOf, newFinding, readInspectionDraft, stations, toInspection, unplaced } from "../../src/screens/Inspect/draft";

const stone = { id: "s1", length_mm: 200, width_mm: 80 };

describe("a draft becomes an inspection", () => {
  it("leaves open what was not looked at", () => {
    expect(toInspection(readInspectionDraft({}), stone, "2026-02-02T10:00:00Z")).toEqual({
      stone_id: "s1", face: "front", thickness_mm: null, inspected_at: "2026-02-02T10:00:00Z",
      water_uptake_s: null, drop_state: null, dry_mass_g: null, wet_mass_g: null, tap_tone: null, sides_sealed: null,
      flatness: null, findings: [], photos: [], notes: "",
    });
  });

  it("carries No and zero as answers", () => {
    const finding = { ...newFinding("f1", "fissure"), points: [{ x_mm: 0, y_mm: 10 }], catches_nail: false, dip_deg: 0 };
    const record = toInspection(readInspectionDraft({ findings: [finding], sides_sealed: false, water_uptake_s: 0 }), stone, "2026-02-02T10:00:00Z");
    expect([record.sides_sealed, record.water_uptake_s]).toEqual([false, 0]);
    expect(record.findings[0]).toMatchObject({ catches_nail: false, dip_deg: 0, catches_edge: null });
  });

  it("names a finding that was begun and never placed", () => {
    const draft = readInspectionDraft({ findings: [newFinding("f1", "chip"), { ...newFinding("f2", "stain"), points: [{ x_mm: 1, y_mm: 1 }] }] });
    expect(unplaced(draft).map((f) => f.id)).toEqual(["f1"]);
  });
});

describe("flatness readings", () => {
  it("go with their places on the face, only those that were read, of the method shown", () => {
    const draft = readInspectionDraft({ "heights.s5": 40, "heights.s1": 0, "heights.g00": -12 });
    expect(flatnessOf(draft, stone)).toEqual({
      method: "straightedge",
      readings: [{ x_mm: 50, y_mm: 20, height_um: 0 }, { x_mm: 100, y_mm: 40, height_um: 40 }],
    });
  });

  it("all lie on the face, nine of them, none twice", () => {
    for (const method of ["straightedge", "grid"] as const) {
      const places = stations(method, stone);
      expect(new Set(places.map((p) => `${p.x_mm} ${p.y_mm}`)).size).toBe(9);
      for (const p of places) {
        expect(p.x_mm > 0 && p.x_mm < 200 && p.y_mm > 0 && p.y_mm < 80).toBe(true);
      }
    }
  });
});

describe("a re-inspection", () => {
  it("brings back where findings lie, under new ids, and asks every probe again", () => {
    const last = { findings: [{ ...newFinding("old", "inclusion"), points: [{ x_mm: 5, y_mm: 5 }], catches_edge: true, relieved: true }] } as unknown as Inspection;
    const [finding] = carriedFindings(last, () => "new");
    expect(finding).toMatchObject({ id: "new", kind: "inclusion", relieved: true, catches_edge: null, points: [{ x_mm: 5, y_mm: 5 }] });
  });

  it("changes only the finding that was touched", () => {
    const [a, b] = [newFinding("a", "line"), newFinding("b", "line")];
    expect(changeFinding([a, b], "b", { relieved: true })).toEqual([a, { ...b, relieved: true }]);
  });
});

describe("a photo", () => {
  it("keeps its shape within 1,600 pixels and is never made larger", () => {
    expect(shrunkSize(4000, 3000)).toEqual({ width: 1600, height: 1200 });
    expect(shrunkSize(3000, 4000)).toEqual({ width: 1200, height: 1600 });
    expect(shrunkSize(800, 600)).toEqual({ width: 800, height: 600 });
    expect(shrunkSize(20_000, 3)).toEqual({ width: 1600, height: 1 });
  });
});
