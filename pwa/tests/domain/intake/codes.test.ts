import { describe, expect, it } from "vitest";
import { continued, firstOfLot, isCode, nextCode, plainCode } from "../../../src/domain/intake/codes";

const taken = (...codes: string[]): Set<string> => new Set(codes.map(plainCode));

describe("the next code (house rules)", () => {
  it.each<[string, Set<string>, string | null]>([
    ["N-017", taken(), "N-018"],
    ["N-099", taken(), "N-100"],
    ["N-999", taken(), "N-1000"],
    ["TAR7", taken(), "TAR8"],
    ["17b", taken(), "18b"],
    ["2026/N-09", taken(), "2026/N-10"],
    ["N-017", taken("N-018", "n019"), "N-020"],
    ["slab", taken(), null],
    ["A-9999999999999999", taken(), "A-10000000000000000"],
    ["AAAAAAAAAAAAAAAAAA99", taken(), null],
  ])("after %s with %j taken comes %s", (code, not, expected) => {
    expect(nextCode(code, not)).toBe(expected);
  });

  it.each<[string[], Set<string>, string | null]>([
    [["N-001", "N-002", "N-017", "N-003"], taken("N-001", "N-002", "N-017", "N-003"), "N-018"],
    // Most stones of the lot follow N-, so one that was called otherwise does not lead it astray.
    [["N-001", "N-002", "X9"], taken(), "N-003"],
    // Two each: the latest pattern goes on.
    [["N-001", "N-002", "K01", "K02"], taken(), "K03"],
    [["slab", "block"], taken(), null],
    [[], taken(), null],
  ])("%j go on with %s", (codes, not, expected) => {
    expect(continued(codes, not)).toBe(expected);
  });

  it("begins a lot as wide as the club's other codes", () => {
    expect(firstOfLot("TAR", ["ALD-01", "ALD-02", "X-100"], taken())).toBe("TAR-01");
    expect(firstOfLot("TAR", [], taken("TAR-001"))).toBe("TAR-002");
    expect(firstOfLot("a lot", [], taken())).toBeNull();
    expect(firstOfLot("", [], taken())).toBeNull();
  });

  it("takes the codes that the service takes (its description, StoneWrite.code)", () => {
    expect(["N-017", "2026/N.1_b", "-1", "a b", "", "x".repeat(20), "x".repeat(21), "砥-1"].map(isCode)).toEqual([
      true, true, false, false, false, true, false, false,
    ]);
  });
});
