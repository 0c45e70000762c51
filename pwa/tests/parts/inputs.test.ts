import { describe, expect, it } from "vitest";
import { readNumber, troubleWith } from "../../src/parts/Fields/number";
import { bounceMs, clockText, elapsedS, isNewStroke, leftS } from "../../src/parts/Timing/clock";
import { bandText, grits, rungState, tapRung } from "../../src/domain/grit";

describe("numbers as people type them", () => {
  it("takes a comma for a point and ignores spaces", () => {
    expect(readNumber(" 24,6 ")).toEqual({ kind: "number", value: 24.6 });
    expect(readNumber("1 250")).toEqual({ kind: "number", value: 1250 });
  });

  it("tells an empty box from a bad number", () => {
    expect(readNumber("  ")).toEqual({ kind: "empty" });
    for (const text of ["abc", "1e9", "0x10", "Infinity", "3.4.5", "-"]) {
      expect(readNumber(text)).toEqual({ kind: "not_a_number" });
    }
  });

  it("says what is wrong, and an empty box is not wrong", () => {
    const uptake = { low: 0, high: 600 };
    expect(troubleWith(readNumber("601"), uptake)).toBe("too_high");
    expect(troubleWith(readNumber("-1"), uptake)).toBe("too_low");
    expect(troubleWith(readNumber("600"), uptake)).toBeNull();
    expect(troubleWith(readNumber(""), uptake)).toBeNull();
    expect(troubleWith(readNumber("3.5"), { whole: true })).toBe("not_whole");
  });
});

describe("timers", () => {
  it("go by the stored start, also when the device's clock was put back", () => {
    expect(elapsedS(1_000, 84_900)).toBe(83);
    expect(elapsedS(50_000, 10_000)).toBe(0);
  });

  it("count down to nothing and stay there", () => {
    expect(leftS(0, 90, 500)).toBe(90);
    expect(leftS(0, 90, 60_000)).toBe(30);
    expect(leftS(0, 90, 999_000)).toBe(0);
  });

  it("write minutes and seconds", () => {
    expect(clockText(5)).toBe("0:05");
    expect(clockText(75)).toBe("1:15");
    expect(clockText(3725)).toBe("62:05");
  });

  it("a knuckle that bounces counts once", () => {
    expect(isNewStroke(null, 0)).toBe(true);
    expect(isNewStroke(1000, 1000 + bounceMs - 1)).toBe(false);
    expect(isNewStroke(1000, 1000 + bounceMs)).toBe(true);
  });

  it("a clock put back does not stop the counter", () => {
    expect(isNewStroke(90_000, 1_000)).toBe(true);
  });
});

describe("the grit ladder", () => {
  it("has the rungs of JIS R 6001 (1987): 18 precision grades, #240 to #8000", () => {
    expect(grits.jis).toHaveLength(18);
    expect(grits.jis[0]).toBe(240);
    expect(grits.jis.at(-1)).toBe(8000);
  });

  it("has the 13 FEPA F microgrits, F230 to F2000 (grade list as in JIS R 6001-2)", () => {
    expect(grits.fepa_f).toHaveLength(13);
  });

  it("makes any band in two taps, in either order", () => {
    const up = tapRung(tapRung(null, 3000, "jis"), 6000, "jis");
    const down = tapRung(tapRung(null, 6000, "jis"), 3000, "jis");
    expect(up).toEqual({ low: 3000, high: 6000, system: "jis" });
    expect(down).toEqual(up);
  });

  it("a tap inside moves the nearer end, a tap on the only rung takes it away", () => {
    const band = { low: 1000, high: 8000, system: "jis" } as const;
    expect(tapRung(band, 1200, "jis")).toEqual({ low: 1200, high: 8000, system: "jis" });
    expect(tapRung(band, 6000, "jis")).toEqual({ low: 1000, high: 6000, system: "jis" });
    expect(tapRung({ low: 500, high: 500, system: "jis" }, 500, "jis")).toBeNull();
  });

  it("a band of one system never mixes with a rung of another: the same number is another size", () => {
    expect(tapRung({ low: 1000, high: 2000, system: "jis" }, 1200, "fepa_p")).toEqual({ low: 1200, high: 1200, system: "fepa_p" });
    expect(rungState({ low: 1000, high: 2000, system: "jis" }, 1200, "fepa_p")).toBe("out");
  });

  it("is written with the system's own sign", () => {
    expect(bandText({ low: 3000, high: 6000, system: "jis" })).toBe("#3000 – #6000");
    expect(bandText({ low: 800, high: 800, system: "fepa_f" })).toBe("F800");
  });
});
