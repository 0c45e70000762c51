import { describe, expect, it } from "vitest";
import type { Inspection, Repair, Stone } from "../../src/domain/records";
import rules from "../../src/domain/soundness/default_rules.json";
import type { Rule } from "../../src/domain/records";
import { asksForALook, itemKey, itemsOf, onlyToLookAt, workByStone } from "../../src/screens/Work/list";
import { toRepair } from "../../src/screens/Work/RepairForm";

const kept = { version: 1, revision: 1, recorded_at: null, created_by: "m1", created_at: "", updated_at: "", updated_by: "m1", withdrawn: null };
const stone = (id: string, change: Partial<Stone> = {}): Stone => ({
  ...kept, id, code: id.toUpperCase(), lot_id: "l", kind: "slate", form: "bench", length_mm: 200, width_mm: 70, thickness_mm: 25, mass_g: null,
  colour: "", marks: [], sides_sealed: true, photos: [], notes: "", ...change,
});
const look = (id: string, stone_id: string, change: Partial<Inspection> = {}): Inspection => ({
  ...kept, id, stone_id, face: "front", thickness_mm: 25, inspected_at: "2026-03-01T10:00:00.000Z", water_uptake_s: null, drop_state: null,
  dry_mass_g: null, wet_mass_g: null, tap_tone: null, sides_sealed: null, flatness: null, findings: [], photos: [], notes: "",
  verdicts: [], rule_set_version: 1, ...change,
});
const verdict = (rule_id: string, urgency: "soon" | "before_use" | "reject", finding_id: string | null = null) => ({
  rule_id, finding_id, verdict: rule_id, urgency, because: "so", caution: null, facts: {},
});

describe("the work list", () => {
  const stones = [stone("s1"), stone("s2")];
  const inspections = [
    look("i1", "s1", { verdicts: [verdict("seal", "soon")] }),
    look("i2", "s1", { face: "back", verdicts: [verdict("glue", "before_use")] }),
    look("i3", "s2", { verdicts: [verdict("aside", "reject"), verdict("dry", "soon")] }),
  ];

  it("puts the stone that asks most first and keeps a stone's faces together", () => {
    const work = workByStone({ stones, inspections, repairs: [], rules: null });

    expect(work.map(({ stone: one }) => one.id)).toEqual(["s2", "s1"]);
    expect(work[1]?.faces.map((face) => face.inspection.face)).toEqual(["back", "front"]);
    expect(itemsOf(work).map((item) => item.verdict)).toEqual(["aside", "glue", "dry", "seal"]);
  });

  it("leaves out stones that this phone no longer shows", () => {
    expect(workByStone({ stones: [stone("s1")], inspections, repairs: [], rules: null }).map(({ stone: one }) => one.id)).toEqual(["s1"]);
  });

  it("judges an inspection that is not sent yet by the rules on the phone, and says so", () => {
    const fresh = look("i4", "s1", {
      rule_set_version: null,
      findings: [{
        id: "f1", kind: "fissure", points: [{ x_mm: 30, y_mm: 0 }, { x_mm: 0, y_mm: 20 }], size_mm: null, depth_mm: null, dip_deg: null,
        catches_nail: true, catches_edge: null, scratches_finish: null, stays_dark_wet: null, moves_when_pressed: false, relieved: false, notes: "",
      }],
    });

    const [work] = workByStone({ stones, inspections: [fresh], repairs: [], rules: rules as unknown as Rule[] });

    expect(work?.faces[0]?.local).toBe(true);
    expect(work?.faces[0]?.items[0]).toMatchObject({ verdict: "glue before lapping", finding_id: "f1", urgency: "before_use" });
  });

  it("names the stones that only wait for a fresh look", () => {
    const done = { ...kept, id: "r1", ...toRepairOf("seal"), outcome: "done" } as Repair;
    const again = (looks: readonly Inspection[]) => onlyToLookAt(workByStone({ stones, inspections: looks, repairs: [done], rules: null }));

    expect(again(inspections.slice(0, 1)).map(({ id }) => id)).toEqual(["s1"]);
    // The back of the same stone asks for glue, so there is more to do than to look.
    expect(again(inspections)).toEqual([]);
  });

  it("turns into a fresh look once the repair is done, also while that repair still waits", () => {
    const done = { ...kept, id: "r1", ...toRepairOf("seal"), outcome: "done" } as Repair;

    const [, front] = workByStone({ stones, inspections: inspections.slice(0, 2), repairs: [done], rules: null })[0]?.faces ?? [];

    expect(front?.items.map((item) => [item.verdict, item.rule_id])).toEqual([["inspect again", null]]);
    expect(front?.items.every(asksForALook)).toBe(true);
  });
});

const item = (rule_id: string | null) => ({
  stone_id: "s1", face: "front" as const, inspection_id: "i1", finding_id: null, rule_id, verdict: "seal", urgency: "soon" as const, because: "", caution: null,
});
const toRepairOf = (rule: string) => toRepair(item(rule), "done", {}, new Date("2026-03-02T10:00:00Z"));

describe("a repair", () => {
  const now = new Date("2026-03-02T10:00:00.000Z");

  it("says what was done, when, and with what", () => {
    const photos = [{ sha256: "a", view: "before", caption: "" }];
    expect(toRepair(item("seal"), "done", { done_at: "2026-03-01T08:00:00.000Z", with_what: " lacquer ", notes: "two coats", photos }, now)).toEqual({
      stone_id: "s1", inspection_id: "i1", finding_id: null, rule_id: "seal", verdict: "seal", outcome: "done",
      done_at: "2026-03-01T08:00:00.000Z", with_what: "lacquer", photos, notes: "two coats",
    });
  });

  it("that was not needed carries its reason and nothing of a half-filled form", () => {
    expect(toRepair(item("seal"), "not_needed", { reason: "goes to sand", with_what: "glue", done_at: "2026-01-01T00:00:00.000Z" }, now)).toMatchObject({
      outcome: "not_needed", notes: "goes to sand", with_what: "", photos: [], done_at: now.toISOString(),
    });
  });

  it("cannot answer a fresh look: only an inspection can", () => {
    expect(toRepair(item(null), "done", {}, now)).toBeNull();
  });

  it("has a draft of its own for each verdict", () => {
    expect(new Set([itemKey(item("a")), itemKey(item("b")), itemKey({ ...item("a"), finding_id: "f" }), itemKey(item(null))]).size).toBe(4);
  });
});
