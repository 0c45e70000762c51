/** The phone's own code against printed tables and worked examples; the service's tests hold more of them. */

import { describe, expect, it } from "vitest";

import { capillarity, ciede2000, dip, lab, mudShade, specimenLimits, uptakeClass } from "../../../src/domain/soundness";
import { minimumZone, leastSquaresFlatness } from "../../../src/domain/soundness/flatness";
import { pieceVolume } from "../../../src/domain/soundness/geometry";
import { absorption, density, totalPorosity } from "../../../src/domain/soundness/physical";
import { faceSize, gram, mm, mm2 } from "../../../src/domain/units";

const face = faceSize(205, 75);

describe("stone physics", () => {
  it("reads density and porosity of a block", () => {
    // 960 g over 384.375 cm³; with quartz grains of 2.65 g/cm³ that leaves 5.752 % pores (worked by hand).
    const bulk = density(gram(960), face, mm(25));

    expect(bulk).toBeCloseTo(2.49756, 5);
    expect(totalPorosity(bulk)).toBeCloseTo(5.752, 3);
  });

  it("reads water absorption as EN 13755 has it", () => {
    expect(absorption(gram(1250), gram(1262.5))).toBeCloseTo(1, 10);
    expect(absorption(gram(1975.4), gram(1979.1))).toBeCloseTo(0.1873, 4);
  });

  it("reads capillary uptake as EN 1925 has it", () => {
    // 3.1 g through 205 × 75 mm in 600 s (worked by hand).
    expect(capillarity(gram(3.1), mm2(205 * 75), 600)).toBeCloseTo(8.2313, 4);
  });

  it("says why a bench stone is no specimen", () => {
    // EN 13755 and ASTM C97 ask for cubes; C97 leaves slate out.
    expect(specimenLimits("slate", face, mm(25))).toHaveLength(4);
    expect(specimenLimits("chert", faceSize(70, 70), mm(70))).toHaveLength(1);
  });

  it("lets a timed drop outrank a looked-at one", () => {
    // Limits are common practice, no source.
    expect([2, 5, 60, 300].map((s) => uptakeClass(s, "beads"))).toEqual(["at_once", "quick", "slow", "beads"]);
    expect(uptakeClass(null, "slow")).toBe("slow");
  });
});

describe("geometry", () => {
  it("reads the dip from rise and run", () => {
    // arctan(18/52) and arctan(3/70) (trigonometry).
    expect(dip(mm(18), mm(52))).toBeCloseTo(19.0935, 4);
    expect(dip(mm(3), mm(70))).toBeCloseTo(2.454, 4);
  });

  it("takes a corner chip for a tetrahedron and an edge chip for a prism", () => {
    // 10·8·6/6 and ½·10·6·25 (solid geometry).
    expect(pieceVolume(mm2((10 * 8) / 2), "corner", mm(6), mm(25))).toBeCloseTo(80, 10);
    expect(pieceVolume(mm2(10 * 25), "one_edge", mm(6), mm(25))).toBeCloseTo(750, 10);
  });
});

describe("flatness", () => {
  it("agrees with a general solver and a general linear programme", () => {
    // Five points from an engineering forum's question on flatness; results by general libraries.
    const five = [
      { x_mm: 11.5, y_mm: 7, height_um: 1.1 },
      { x_mm: 18.5, y_mm: 6.9, height_um: 1.03 },
      { x_mm: 4.5, y_mm: 13, height_um: 1.02 },
      { x_mm: 25.5, y_mm: 30, height_um: 1.03 },
      { x_mm: 11.5, y_mm: 37.5, height_um: 1.02 },
    ];

    expect(leastSquaresFlatness(five)).toBeCloseTo(0.072097, 6);
    expect(minimumZone(five)).toBeCloseTo(0.067262, 6);
  });
});

describe("colour", () => {
  it("agrees with published pairs", () => {
    // Sharma, Wu & Dalal 2005, pairs 1, 17 and 34.
    expect(ciede2000([50, 2.6772, -79.7751], [50, 0, -82.7485])).toBeCloseTo(2.0425, 4);
    expect(ciede2000([50, 2.5, 0], [73, 25, -18])).toBeCloseTo(27.1492, 4);
    expect(ciede2000([2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514])).toBeCloseTo(0.9082, 4);
  });

  it("reads sRGB as CIELAB", () => {
    // By a colour library, D65; the last digits depend on the white used.
    const expected = [34.708, 2.282, 7.408];

    lab([90, 80, 70]).forEach((value, i) => expect(Math.abs(value - (expected[i] ?? NaN))).toBeLessThan(0.02));
  });

  it("gives darker mud the higher shade", () => {
    const shades = [230, 150, 110, 80, 30].map((g) => mudShade([g, g, g], [240, 240, 240]).shade);

    expect(shades).toEqual([1, 2, 3, 4, 5]);
  });
});
