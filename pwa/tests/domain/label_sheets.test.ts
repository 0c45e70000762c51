import { describe, expect, it } from "vitest";
import { labelSheets, nSheets, sheetsOn } from "../../src/domain/label_sheets";
import served from "../../../tests/vectors/label_sheets.json";

describe("sheets of labels", () => {
  it("are those the service prints on, in its order (shared vectors)", () => {
    expect(labelSheets).toEqual(served);
  });

  it("counts the sheets that labels take after used ones (arithmetic)", () => {
    const [a4] = sheetsOn("a4");
    if (a4 === undefined) throw new Error("no sheet");
    expect([nSheets(a4, 24, 0), nSheets(a4, 24, 1), nSheets(a4, 1, 23), nSheets(a4, 100, 5)]).toEqual([1, 2, 1, 5]);
  });
});
