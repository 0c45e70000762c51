/**
 * Mud shade from a photo: sRGB to CIE L*, against a white card in the same picture. A camera is an aid here, never a
 * must: its white balance and exposure are unknown, so mud is only read relative to a white card beside it.
 */

import { refuse } from "./refusal";

/** An sRGB colour (0–255 a channel) or L*a*b*. */
export type Triple = readonly [number, number, number];

/** Linear sRGB to XYZ for D65 (IEC 61966-2-1 primaries). */
const TO_XYZ: readonly [Triple, Triple, Triple] = [
  [0.4124564, 0.3575761, 0.1804375],
  [0.2126729, 0.7151522, 0.072175],
  [0.0193339, 0.119192, 0.9503041],
];

const sum = (t: Triple): number => t[0] + t[1] + t[2];
const WHITE: Triple = [sum(TO_XYZ[0]), sum(TO_XYZ[1]), sum(TO_XYZ[2])];

/** Reflectance taken for a white card: about Munsell N 9.5, L* 95. */
const CARD_Y = 0.876;

/** L* from which mud counts as shade 1, 2, 3 and 4; darker is 5. Common practice, no source. */
const SHADE_LIMITS = [70, 55, 40, 25] as const;

/** Lightness of the mud (0 black, 100 white) against the card, and the shade 1–5 it suggests. */
export interface MudShade {
  readonly lightness: number;
  readonly shade: number;
}

/** One sRGB channel (0–255) as linear light (0–1). */
function linear(c: number): number {
  const x = c / 255;
  return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4;
}

function xyz(rgb: Triple): Triple {
  const [r, g, b] = [linear(rgb[0]), linear(rgb[1]), linear(rgb[2])];
  const row = (k: Triple): number => k[0] * r + k[1] * g + k[2] * b;
  return [row(TO_XYZ[0]), row(TO_XYZ[1]), row(TO_XYZ[2])];
}

/** Relative luminance Y (0–1) of an sRGB colour. */
export const luminance = (rgb: Triple): number => xyz(rgb)[1] / WHITE[1];

/** CIE L* (0–100) of a relative luminance (0–1). */
export const lightness = (y: number): number => (y > 216 / 24389 ? 116 * Math.cbrt(y) - 16 : (y * 24389) / 27);

/** CIE L*a*b* (D65, 2°) of an sRGB colour. */
export function lab(rgb: Triple): Triple {
  const [x, y, z] = xyz(rgb);
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const [fx, fy, fz] = [f(x / WHITE[0]), f(y / WHITE[1]), f(z / WHITE[2])];
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

const rad = (degrees: number): number => (degrees * Math.PI) / 180;

/**
 * Colour difference ΔE00 of two L*a*b* colours, all weights 1. Sharma, Wu & Dalal 2005, Color Research & Application
 * 30:21–30; symbols as there.
 */
export function ciede2000([L1, a1, b1]: Triple, [L2, a2, b2]: Triple): number {
  const cMean7 = ((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2) ** 7;
  const G = 0.5 * (1 - Math.sqrt(cMean7 / (cMean7 + 25 ** 7)));
  const [a1p, a2p] = [(1 + G) * a1, (1 + G) * a2];
  const [C1p, C2p] = [Math.hypot(a1p, b1), Math.hypot(a2p, b2)];
  const [h1p, h2p] = [hue(a1p, b1), hue(a2p, b2)];
  const grey = C1p * C2p === 0;
  let dh = grey ? 0 : h2p - h1p;
  if (dh > 180) dh -= 360;
  else if (dh < -180) dh += 360;
  const dH = 2 * Math.sqrt(C1p * C2p) * Math.sin(rad(dh / 2));
  let h = grey ? h1p + h2p : (h1p + h2p) / 2;
  if (!grey && Math.abs(h1p - h2p) > 180) h += h1p + h2p < 360 ? 180 : -180;
  const T =
    1 -
    0.17 * Math.cos(rad(h - 30)) +
    0.24 * Math.cos(rad(2 * h)) +
    0.32 * Math.cos(rad(3 * h + 6)) -
    0.2 * Math.cos(rad(4 * h - 63));
  const Lp = (L1 + L2) / 2;
  const Cp = (C1p + C2p) / 2;
  const SL = 1 + (0.015 * (Lp - 50) ** 2) / Math.sqrt(20 + (Lp - 50) ** 2);
  const SC = 1 + 0.045 * Cp;
  const SH = 1 + 0.015 * Cp * T;
  const turn = 30 * Math.exp(-(((h - 275) / 25) ** 2));
  const RT = -2 * Math.sqrt(Cp ** 7 / (Cp ** 7 + 25 ** 7)) * Math.sin(rad(2 * turn));
  const [dL, dC, dHs] = [(L2 - L1) / SL, (C2p - C1p) / SC, dH / SH];
  return Math.sqrt(dL * dL + dC * dC + dHs * dHs + RT * dC * dHs);
}

function hue(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const h = (Math.atan2(b, a) * 180) / Math.PI;
  return h < 0 ? h + 360 : h;
}

/**
 * Lightness of a patch of mud from its mean sRGB colour and that of a white card in the same light. Refused if a
 * colour is no colour, or the card is overexposed, too dark, or darker than the mud.
 */
export function mudShade(mud: Triple, card: Triple): MudShade {
  checkColour(mud, "mud");
  checkColour(card, "card");
  if (Math.max(...card) >= 254) {
    throw refuse("card", "The card is overexposed, so nothing can be read against it: take a darker photo.");
  }
  const [cardY, mudY] = [luminance(card), luminance(mud)];
  if (cardY < 0.15) {
    throw refuse("card", "The card looks too dark: tap the white card, in the light the mud lies in.");
  }
  if (mudY > cardY) {
    throw refuse("mud", "The mud looks lighter than the card: swap the two, or light both alike.");
  }
  const value = lightness((mudY / cardY) * CARD_Y);
  return { lightness: value, shade: 1 + SHADE_LIMITS.filter((limit) => value < limit).length };
}

function checkColour(rgb: readonly number[], field: string): void {
  if (rgb.length !== 3 || !rgb.every((c) => Number.isFinite(c) && c >= 0 && c <= 255)) {
    throw refuse(field, "A colour is three numbers from 0 to 255: red, green, blue.");
  }
}
