import { describe, expect, it } from "vitest";
import { ownFields, type Inspection, type Protocol, type Stone, type Trial } from "../../src/domain/records";
import { toChangedInspection, readChanged, valuesOfInspection } from "../../src/screens/Inspect/changed";
import { newFinding, stations } from "../../src/screens/Inspect/draft";
import { toChangedTrial, valuesOfTrial } from "../../src/screens/Trial/changed";

const kept = {
  version: 3, revision: 9, recorded_at: null, created_by: "m1", created_at: "2026-01-01T00:00:00Z",
  updated_at: "2026-01-01T00:00:00Z", updated_by: "m1", withdrawn: null,
};
const asked = { help: "", unit: null, low: null, high: null, choices: [], required: false };
const protocol: Protocol = {
  ...kept, id: "p1", name: "Short", purpose: "knife", summary: "", reference_steels: [], cautions: [], steps: [],
  scales: [
    { id: "hardness", name: "Hardness", low: 1, high: 5, step: 0.5, words: {} },
    { id: "ease", name: "Ease", low: 1, high: 5, step: 0.5, words: {} },
  ],
  observations: [
    { ...asked, id: "uptake", name: "Uptake", kind: "number" },
    { ...asked, id: "refines", name: "Refines", kind: "yes_no" },
    { ...asked, id: "band", name: "Band", kind: "grit_band" },
    { ...asked, id: "feel", name: "Feel", kind: "text" },
  ],
};
const trial: Trial = {
  ...kept, id: "t1", stone_id: "s1", blade_id: "b1", protocol_id: "p1", protocol_version: 3, face: "back", thickness_mm: 18.5,
  started_at: "2026-02-02T10:00:00Z", finished_at: "2026-02-02T10:20:00Z",
  observations: { uptake: 0, refines: false, band: { low: 2000, high: 3000, system: "jis" }, feel: "silky" },
  grades: { hardness: 3.5, ease: 2 }, photos: [{ sha256: "ab", view: "mud", caption: "first mud" }],
  notes: "Read by the window.", excluded: null,
};

describe("changing a trial", () => {
  it("begins with all of the record: saved untouched it would be the same", () => {
    expect(toChangedTrial(valuesOfTrial(trial, protocol), "s1")).toEqual(ownFields("trial", trial));
  });

  it("changes what was changed and nothing else, not even the time it was made", () => {
    const values = { ...valuesOfTrial(trial, protocol), "grades.hardness": 3 };
    expect(toChangedTrial(values, "s1")).toEqual({ ...ownFields("trial", trial), grades: { hardness: 3, ease: 2 } });
  });

  it("leaves open what the record left open", () => {
    const bare = { ...trial, thickness_mm: null, observations: { uptake: null }, photos: [], notes: "" };
    expect(toChangedTrial(valuesOfTrial(bare, protocol), "s1")).toEqual({ ...ownFields("trial", bare), observations: {} });
  });
});

const stone = { id: "s1", length_mm: 200, width_mm: 75, thickness_mm: 20 } as Stone;
const inspection: Inspection = {
  ...kept, id: "i1", stone_id: "s1", face: "back", thickness_mm: 19, inspected_at: "2026-02-01T09:00:00Z",
  water_uptake_s: 0, drop_state: "slow", dry_mass_g: 800, wet_mass_g: 801.5, tap_tone: "ring", sides_sealed: false,
  flatness: { method: "grid", readings: stations("grid", stone).map(({ x_mm, y_mm }, i) => ({ x_mm, y_mm, height_um: i })) },
  findings: [{ ...newFinding("f1", "line"), points: [{ x_mm: 1, y_mm: 2 }, { x_mm: 9, y_mm: 2 }], catches_nail: false }],
  photos: [{ sha256: "cd", view: "back", caption: "" }], notes: "Dry day.", verdicts: [], rule_set_version: 2,
};

describe("changing an inspection", () => {
  const again = (record: Inspection, change: object = {}) => {
    const values = { ...valuesOfInspection(record, stone), ...change };
    return toChangedInspection(values, readChanged(values)!, stone);
  };

  it("begins with all of the record: saved untouched it would be the same", () => {
    expect(again(inspection)).toEqual(ownFields("inspection", inspection));
  });

  it("keeps readings at places that the form does not ask for", () => {
    const odd = { ...inspection, flatness: { method: "grid" as const, readings: [{ x_mm: 33.3, y_mm: 44.4, height_um: 12 }] } };
    expect(again(odd, { notes: "Wet day." })).toEqual({ ...ownFields("inspection", odd), notes: "Wet day." });
  });

  it("lets them go when the face was read in another way", () => {
    const odd = { ...inspection, flatness: { method: "grid" as const, readings: [{ x_mm: 33.3, y_mm: 44.4, height_um: 12 }] } };
    expect(again(odd, { flatness_method: "straightedge", "heights.s5": 40 }).flatness).toEqual({
      method: "straightedge", readings: [{ x_mm: 100, y_mm: 37.5, height_um: 40 }],
    });
  });
});
