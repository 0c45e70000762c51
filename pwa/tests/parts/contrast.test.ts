import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

/**
 * Contrast of the tokens by WCAG 2.2's formula (success criteria 1.4.3, 1.4.6, 1.4.11):
 * (L1 + 0.05) / (L2 + 0.05), L the relative luminance of linear sRGB.
 */
const css = readFileSync(new URL("../../src/styles/tokens.css", import.meta.url), "utf8");

type Look = Record<string, string>;

function block(selector: string): Look {
  const at = css.indexOf(selector);
  if (at < 0) throw new Error(`tokens.css has lost ${selector}`);
  const body = css.slice(css.indexOf("{", at) + 1, css.indexOf("}", at));
  return Object.fromEntries([...body.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})\b/gi)].map((m) => [m[1]!, m[2]!]));
}

function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

const light = block(":root {");
const looks: Record<string, Look> = {
  light,
  dark: { ...light, ...block(':root[data-look="dark"]') },
  "dark by the device": { ...light, ...block(":root:not([data-look=") },
  glare: { ...light, ...block(':root[data-look="glare"]') },
};

const grounds = ["ground", "sheet", "sunk"];

it("the formula gives 21 for black on white and 1 for a colour on itself (WCAG 2.2, definition of contrast ratio)", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6);
  expect(contrast("#777777", "#777777")).toBe(1);
});

describe.each(Object.entries(looks))("in the look %s", (name, look) => {
  const c = (ink: string, ground: string): number => contrast(look[ink]!, look[ground]!);

  it.each(grounds)("ink on %s reaches 7 : 1", (ground) => {
    expect(c("ink", ground)).toBeGreaterThanOrEqual(7);
  });

  it.each(grounds)("second voice, oxide, mud and moss on %s reach 4.5 : 1", (ground) => {
    for (const ink of ["ink-soft", "oxide", "moss"]) expect(c(ink, ground), ink).toBeGreaterThanOrEqual(name === "glare" ? 7 : 4.5);
    expect(c("mud", ground)).toBeGreaterThanOrEqual(3);
  });

  it("text on filled pieces reaches 4.5 : 1", () => {
    expect(c("on-slate", "slate")).toBeGreaterThanOrEqual(7);
    expect(c("on-oxide", "oxide")).toBeGreaterThanOrEqual(4.5);
    expect(c("oxide", "oxide-sheet")).toBeGreaterThanOrEqual(4.5);
    expect(c("ink", "oxide-sheet")).toBeGreaterThanOrEqual(7);
    expect(c("ink", "mud-wash")).toBeGreaterThanOrEqual(7);
    expect(c("ink", "wet")).toBeGreaterThanOrEqual(4.5);
  });

  it("edges of pressable pieces, the focus ring and findings on the stone reach 3 : 1", () => {
    for (const ground of ["ground", "sheet"]) {
      expect(c("rule-strong", ground)).toBeGreaterThanOrEqual(3);
      expect(c("focus", ground)).toBeGreaterThanOrEqual(3);
    }
    expect(c("ink", "stone")).toBeGreaterThanOrEqual(3);
    expect(c("oxide", "stone")).toBeGreaterThanOrEqual(3);
  });
});

it("both dark looks are the same", () => {
  expect(block(':root[data-look="dark"]')).toEqual(block(":root:not([data-look="));
});
