/** The vectors that the service runs too: phone and service give the same answers. */

import { describe, expect, it } from "vitest";

import colour from "../../../../tests/vectors/colour.json";
import flatness from "../../../../tests/vectors/flatness.json";
import geometry from "../../../../tests/vectors/geometry.json";
import grit from "../../../../tests/vectors/grit.json";
import soundness from "../../../../tests/vectors/soundness.json";
import type { FlatnessReading, GritBand, Rule } from "../../../src/domain/records";
import { assess, fitRate, strokesFor } from "../../../src/domain/soundness";
import type { History, InspectionValues, StoneShape } from "../../../src/domain/soundness";
import { ciede2000, lab, lightness, luminance, mudShade } from "../../../src/domain/soundness/colour";
import type { Triple } from "../../../src/domain/soundness/colour";
import rules from "../../../src/domain/soundness/default_rules.json";
import { measureFlatness } from "../../../src/domain/soundness/flatness";
import { faceFromCorners, measureOutline, measureTrace, place, toFace } from "../../../src/domain/soundness/geometry";
import { equivalentBand, grain } from "../../../src/domain/soundness/grit";
import type { GritSystem } from "../../../src/domain/soundness/grit";
import { gritSteps, planLapping } from "../../../src/domain/soundness/lapping";
import { usableFace } from "../../../src/domain/soundness/usable";
import { faceSize, facePoint, gramPerCm3, mm, mm2, photoPoint, um } from "../../../src/domain/units";
import type { FaceSize } from "../../../src/domain/units";
import { faultsOf, near } from "./near";

type Pairs = readonly (readonly number[])[];

const face = (size: readonly number[]): FaceSize => faceSize(size[0] ?? 0, size[1] ?? 0);
const records = (points: Pairs): { x_mm: number; y_mm: number }[] =>
  points.map(([x = NaN, y = NaN]) => ({ x_mm: x, y_mm: y }));
const taps = (points: Pairs) => points.map(([x = NaN, y = NaN]) => photoPoint(x, y));
const triple = (values: readonly number[]): Triple => [values[0] ?? NaN, values[1] ?? NaN, values[2] ?? NaN];

describe("geometry", () => {
  it.each(geometry.photos)("photo: $name", (photo) => {
    const map = faceFromCorners(taps(photo.corners), faceSize(photo.length_mm, photo.width_mm));

    near(photo.places, taps(photo.taps).map((tap) => toFace(map, tap)));
  });

  it.each(geometry.photos_refused)("photo refused: $name", (photo) => {
    const size = faceSize(photo.length_mm, photo.width_mm);

    expect(faultsOf(() => faceFromCorners(taps(photo.corners), size))).toEqual(photo.errors);
  });

  it.each(geometry.traces)("trace: $name", (trace) => {
    const size = face(trace.face);

    near(trace.expect, measureTrace(place(records(trace.points), size), size));
  });

  it.each(geometry.outlines)("outline: $name", (outline) => {
    const size = face(outline.face);

    near(outline.expect, measureOutline(place(records(outline.points), size), size));
  });

  it.each(geometry.usable)("usable face: $name", (usable) => {
    const obstacles = usable.obstacles.map((o) => ({
      points: (o.points as Pairs).map(([x = NaN, y = NaN]) => facePoint(x, y)),
      closed: o.closed,
      radius_mm: mm(o.radius_mm),
    }));

    near(usable.expect, usableFace(face(usable.face), obstacles));
  });
});

interface SoundnessCase {
  readonly name: string;
  readonly stone: StoneShape;
  readonly inspection: InspectionValues;
  readonly history: History;
  readonly expect: unknown;
  readonly errors: unknown;
}

describe("verdicts", () => {
  const club = soundness.rules as readonly Rule[];

  it.each(soundness.cases as unknown as readonly SoundnessCase[])("$name", (known) => {
    near(known.expect, assess(known.stone, known.inspection, club, known.history));
  });

  it.each(soundness.refused as unknown as readonly SoundnessCase[])("refused: $name", (known) => {
    expect(faultsOf(() => assess(known.stone, known.inspection, club))).toEqual(known.errors);
  });

  it("come from the default rules that the phone carries", () => {
    expect(rules).toEqual(soundness.rules);
  });
});

describe("flatness and lapping", () => {
  it.each(flatness.cases)("$name", (known) => {
    const values = { method: "grid", readings: known.readings as readonly FlatnessReading[] } as const;
    const size = face(known.face);
    const measured = measureFlatness(values, size);

    near(known.expect, measured);
    near(known.lapping, planLapping(values, measured, size, mm(25), gramPerCm3(2.5)));
  });

  it.each(flatness.grit_steps)("grits for $stock_um µm down to P$finish", (known) => {
    near(known.steps, gritSteps(um(known.stock_um), known.finish));
  });
});

describe("lapping rate", () => {
  it.each(flatness.rates)("from $rate.n_lappings logged lappings", (known) => {
    const rate = fitRate(known.lappings);
    const manner = { force_n: 25, stroke_mm: mm(120), grain_um: um(35) };

    near(known.rate, rate);
    near(known.strokes, strokesFor(um(80), rate, mm2(15375), manner));
  });
});

describe("colour", () => {
  it("reads greys", () => {
    for (const { grey, lightness: l } of colour.grey) near(l, lightness(luminance([grey, grey, grey])));
  });

  it("reads colours", () => {
    for (const { rgb, lab: known } of colour.lab) near(known, lab(triple(rgb)));
  });

  it("tells colours apart", () => {
    for (const { one, other, difference } of colour.ciede2000) near(difference, ciede2000(triple(one), triple(other)));
  });

  it("reads mud against a card", () => {
    for (const { mud, card, expect: known } of colour.mud) near(known, mudShade(triple(mud), triple(card)));
    for (const { mud, card, errors } of colour.mud_refused) {
      expect(faultsOf(() => mudShade(triple(mud), triple(card)))).toEqual(errors);
    }
  });
});

describe("grits", () => {
  it("have the sizes of their own system", () => {
    for (const known of grit.grains) near(known, grain(known.system as GritSystem, known.number));
  });

  it("have no size beyond the end of their standard", () => {
    for (const { system, number, errors } of grit.beyond) {
      expect(faultsOf(() => grain(system as GritSystem, number))).toEqual(errors);
    }
  });

  it("are told in another system as far as that reaches", () => {
    for (const { band, expect: known } of grit.equivalents) {
      near(known, equivalentBand(band as GritBand, known.system as GritSystem));
    }
  });
});
