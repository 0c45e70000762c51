import { describe, expect, it } from "vitest";
import { markOf, readFigure, splitUnit, toBase, unitNamed, type DecimalMark, type Unit } from "../../../src/domain/intake/figures";

describe("figures as spreadsheets write them (ISO 80000-1, 7.3.2: a comma or a point is the decimal sign; groups by a space)", () => {
  it.each<[string, DecimalMark | null, number | string]>([
    ["205", null, 205],
    ["205.5", null, 205.5],
    ["205,5", null, 205.5],
    ["0,125", null, 0.125],
    [" 1 140 ", null, 1140],
    ["1\u202f140,5", null, 1140.5],
    ["1'140", null, 1140],
    ["1,140.5", null, 1140.5],
    ["1.140,5", null, 1140.5],
    ["1,140,000", null, 1_140_000],
    ["1.140.000", null, 1_140_000],
    // A lone comma before three figures may be either, and only the rest of the file can tell.
    ["1,140", null, "ambiguous"],
    ["1,140", "point", 1140],
    ["1,140", "comma", 1.14],
    ["1.140", "comma", 1140],
    ["1.140", "point", 1.14],
    ["1.140", null, 1.14],
    ["", null, "empty"],
    ["20 5", null, "not_a_number"],
    ["ca. 205", null, "not_a_number"],
    ["205-210", null, "not_a_number"],
    ["1e3", null, "not_a_number"],
    ["0x10", null, "not_a_number"],
    ["1,2,3", null, "not_a_number"],
    ["12,34.5", null, "not_a_number"],
    ["1,140.5.2", null, "not_a_number"],
  ])("%j with the mark %s", (text, mark, expected) => {
    const read = readFigure(text, mark);
    expect(read.kind === "number" ? read.value : read.kind).toBe(expected);
  });

  it("doubts a lone point where semicolons part the columns and no other figure shows a mark", () => {
    expect([readFigure("1.140", null, true).kind, readFigure("1.14", null, true).kind, readFigure("1.140", "point", true).kind]).toEqual(["ambiguous", "number", "number"]);
  });

  it.each<[string[], DecimalMark | null]>([
    [["205", "1,140"], null],
    [["205,5", "1.140"], "comma"],
    [["205.5", "1,140"], "point"],
    [["1,140.5"], "point"],
    [["205.5", "205,5"], null],
    [["0,250"], "comma"],
    [["n/a", ""], null],
  ])("%j shows the mark %s", (texts, mark) => {
    expect(markOf(texts)).toBe(mark);
  });
});

describe("units", () => {
  it.each<[number, Unit, number]>([
    // International yard and pound agreement of 1959: the yard is 0.9144 m, the pound 0.45359237 kg, both exactly.
    [1, "in", 25.4],
    [8, "in", 203.2],
    [36, "in", 914.4],
    [0.1, "in", 2.54],
    [1, "lb", 453.59237],
    [16, "oz", 453.59237],
    // SI prefixes (BIPM, SI brochure, 9th edition, table 7).
    [20.5, "cm", 205],
    [1.14, "kg", 1140],
    [0.1 + 0.2, "cm", 3],
    [25, "mm", 25],
  ])("%d %s is %d in mm or g", (value, unit, expected) => {
    expect(toBase(value, unit)).toBe(expected);
  });

  it("knows their names", () => {
    expect(["mm", "CM", "Inches", '"', "kg", "oz", "lbs", "xyz"].map(unitNamed)).toEqual(["mm", "cm", "in", "in", "kg", "oz", "lb", null]);
  });

  it("takes a unit off a figure", () => {
    expect([splitUnit("205 mm"), splitUnit('8"'), splitUnit("1.14kg"), splitUnit("205"), splitUnit("205 N-3")]).toEqual([
      { figure: "205", unit: "mm" }, { figure: "8", unit: "in" }, { figure: "1.14", unit: "kg" },
      { figure: "205", unit: null }, { figure: "205 N-3", unit: null },
    ]);
  });
});
