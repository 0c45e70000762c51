import { describe, expect, it } from "vitest";
import { fewestUnits, readAlpha, readIcc, type Alpha, type Icc } from "../../src/domain/agreement";
import { agreement as say } from "../../src/words/agreement";

const alpha = (change: Partial<Alpha> = {}): Alpha =>
  ({ alpha: 0.7, low95: 0.68, high95: 0.75, n_units: 40, n_raters: 4, n_ratings: 120, note: "", ...change });
const icc = (low95: number | null, high95: number | null): Icc => ({ icc: 0.7, low95, high95 });

// Krippendorff, Content Analysis (2004), page 241; Koo and Li, J. Chiropr. Med. 15 (2016): both from memory.
describe("what a figure of agreement is worth", () => {
  it("alpha is read off both ends of its interval, by the customary bounds of .667 and .800", () => {
    expect(readAlpha(alpha())).toEqual({ kind: "within", band: "tentative" });
    expect(readAlpha(alpha({ low95: 0.8, high95: 0.9 }))).toEqual({ kind: "within", band: "reliable" });
    expect(readAlpha(alpha({ low95: 0.79, high95: 0.9 }))).toEqual({ kind: "open", low: "tentative", high: "reliable" });
    expect(readAlpha(alpha({ low95: 0.1, high95: 0.666 }))).toEqual({ kind: "within", band: "below" });
  });

  it("an intraclass correlation by .50, .75 and .90, likewise", () => {
    expect(readIcc(icc(0.5, 0.74), 20)).toEqual({ kind: "within", band: "moderate" });
    expect(readIcc(icc(0.49, 0.91), 20)).toEqual({ kind: "open", low: "poor", high: "excellent" });
    expect(readIcc(icc(0.75, 0.8), 20)).toEqual({ kind: "within", band: "good" });
  });

  it("nothing is read off too few stones, or without an interval, however high the figure", () => {
    expect(readAlpha(alpha({ alpha: 0.99, low95: 0.98, high95: 1, n_units: fewestUnits - 1 }))).toEqual({ kind: "too_few" });
    expect(readAlpha(alpha({ low95: null, high95: null }))).toEqual({ kind: "too_few" });
    expect(readIcc(icc(0.98, 1), fewestUnits - 1)).toEqual({ kind: "too_few" });
    expect(readAlpha(alpha({ alpha: null }))).toEqual({ kind: "none" });
  });
});

it("the sentence on Kendall's W gives the mean rank correlation that belongs to it", () => {
  // Kendall (1948): mean Spearman correlation of all pairs = (m W − 1)/(m − 1). Siegel's example, W .162 of 3 judges: −.257.
  expect(say.w.means(0.161905, 3)).toContain("−0.26 on the average");
  expect(say.w.means(1, 5)).toContain("1.00 on the average");
});
