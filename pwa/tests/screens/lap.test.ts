import { describe, expect, it } from "vitest";
import type { Inspection, Lapping, Stone } from "../../src/domain/records";
import { drawHeights } from "../../src/parts/HeightMap/geometry";
import { surfaceOf } from "../../src/parts/HeightMap/surface";
import { toLapping } from "../../src/screens/Lap/Log";
import { clubRate, planFor, roughly } from "../../src/screens/Lap/plan";

const face = { length_mm: 200, width_mm: 70 };
const grid = (z: (u: number, v: number) => number) =>
  [0, 0.25, 0.5, 0.75, 1].flatMap((s) => [0, 0.5, 1].map((t) => ({
    x_mm: s * face.length_mm, y_mm: t * face.width_mm, height_um: z(2 * s - 1, 2 * t - 1),
  })));

const stone = { id: "s1", ...face, thickness_mm: 25, mass_g: 980, form: "bench", kind: "slate", marks: [] } as unknown as Stone;
const inspection = (readings: ReturnType<typeof grid>) => ({ thickness_mm: 25, flatness: { method: "grid", readings } }) as unknown as Inspection;
const guess = clubRate([], new Map());

describe("a lapping plan", () => {
  it("of a trough takes a third of its box: the algebra of a parabola", () => {
    const planned = planFor(stone, inspection(grid((u) => 120 * u * u)), 1000, { force_n: 20, stroke_mm: 150 }, guess);

    if (planned.kind !== "planned") throw new Error(planned.why);
    expect(planned.flatness.flatness_um).toBeCloseTo(120, 6);
    expect(planned.plan.stock_mm3).toBeCloseTo((200 * 70 * 0.12) / 3, 6);
    expect(planned.steps.reduce((sum, step) => sum + step.remove_um, 0)).toBeGreaterThanOrEqual(120);
    expect(planned.thickness_left_mm).toBeLessThanOrEqual(25 - 0.12);
  });

  it("asks twice the strokes at half the force (Preston's law), and none while the force is not given", () => {
    const strokes = (force_n: number | null) => {
      const planned = planFor(stone, inspection(grid((u) => 120 * u * u)), 1000, { force_n, stroke_mm: 150 }, guess);
      return planned.kind === "planned" ? planned.steps.map((step) => step.strokes?.strokes ?? null) : [];
    };

    expect(strokes(10).map((n, i) => (n ?? 0) / (strokes(20)[i] ?? 1))).toEqual(strokes(20).map(() => expect.closeTo(2, 9) as number));
    expect(strokes(null).every((n) => n === null)).toBe(true);
  });

  it("learns only from lappings that are complete and not withdrawn", () => {
    const whole = {
      stone_id: "s1", withdrawn: null, removed_um: 60, force_n: 20, strokes: 300, stroke_mm: 150, grit_system: "fepa_p", grit_number: 220,
    } as unknown as Lapping;
    const stones = new Map([["s1", stone]]);

    expect(clubRate([whole], stones).n_lappings).toBe(1);
    expect(clubRate([{ ...whole, strokes: null }, { ...whole, withdrawn: { at: "", by: null, reason: "" } }], stones).n_lappings).toBe(0);
    expect(clubRate([whole], stones).high90 / clubRate([whole], stones).low90).toBeLessThan(guess.high90 / guess.low90);
  });

  it("says a count with two figures", () => {
    expect([0.2, 7.4, 44, 893, 9876].map(roughly)).toEqual(["1", "7", "44", "890", "9,900"]);
  });
});

describe("the log", () => {
  it("waits for a grit that its system knows", () => {
    expect(toLapping({}, stone, "front", false, new Date())).toHaveProperty("why");
    expect(toLapping({ grit_system: "jis", grit_number: 30_000 }, stone, "front", false, new Date())).toHaveProperty("why");
  });

  it("starts from the usual force and stroke, and keeps them empty once they were emptied", () => {
    const now = new Date("2026-03-02T10:00:00.000Z");
    const made = (values: Record<string, unknown>) => {
      const lapping = toLapping({ grit_number: 220, ...values }, stone, "back", true, now);
      return "body" in lapping ? lapping.body : null;
    };

    expect(made({})).toMatchObject({ grit_system: "fepa_p", force_n: 20, stroke_mm: 150, marked_face_agreed: true, face: "back", lapped_at: now.toISOString() });
    expect(made({ force_n: null })).toMatchObject({ force_n: null, stroke_mm: 150 });
  });
});

describe("the picture of the heights", () => {
  it("is the surface itself where wear made a bent and twisted sheet", () => {
    const z = (u: number, v: number): number => 40 * u * u - 12 * v * v + 9 * u * v;
    const { fitted, values } = surfaceOf(grid(z), face, 5, 3);
    const mean = grid(z).reduce((sum, r) => sum + r.height_um, 0) / 15;

    expect(fitted).toBe(true);
    grid(z).forEach((reading, k) => {
      const at = values[(k % 3) * 5 + Math.floor(k / 3)] ?? NaN;
      expect(at).toBeCloseTo(reading.height_um - mean, 6);
    });
  });

  it("is only filled in where one bump stands out, or where readings are few", () => {
    const bump = grid((u, v) => (u === 0.5 && v === 0 ? 90 : 0));

    expect(surfaceOf(bump, face, 9, 5).fitted).toBe(false);
    expect(surfaceOf(grid((u) => u * u).slice(0, 6), face, 9, 5).fitted).toBe(false);
  });

  it("counts its lines in round steps, a few of them, and labels each where there is room", () => {
    const drawn = drawHeights(grid((u) => 87 * u * u), face);

    expect([1, 2, 5, 10, 20, 50]).toContain(drawn.step_um);
    expect(drawn.contours.length).toBeGreaterThan(2);
    expect(drawn.contours.length).toBeLessThan(9);
    expect(drawn.labels.length).toBeGreaterThan(1);
    for (const { level } of drawn.contours) expect(Math.abs(level / drawn.step_um - Math.round(level / drawn.step_um))).toBeLessThan(1e-9);
  });

  it("covers the whole face with its bands, once", () => {
    const drawn = drawHeights(grid((u, v) => 30 * u - 20 * v * v), face);

    expect(drawn.runs.reduce((sum, run) => sum + run.to - run.from, 0)).toBe(drawn.columns * drawn.rows);
  });
});
