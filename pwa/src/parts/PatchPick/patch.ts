/** The colour of a patch of a photo. Pure. */

import type { Triple } from "../../domain/soundness";
import type { PhotoPoint } from "../../domain/units";

/** Pixels as a canvas gives them: four bytes each (red, green, blue, opacity), row by row. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray;
}

/** A patch is this share of the photo's long side across: large enough to even out grains of mud. */
const share = 0.02;

export const patchRadius = ({ width, height }: { width: number; height: number }): number => Math.max(2, share * Math.max(width, height));

/** The mean sRGB colour inside a ring; null if nothing of it lies in the picture. */
export function meanColour(pixels: Pixels, at: PhotoPoint, radius: number): Triple | null {
  const sum: [number, number, number] = [0, 0, 0];
  let n = 0;
  const [x0, x1] = [Math.max(0, Math.floor(at[0] - radius)), Math.min(pixels.width - 1, Math.ceil(at[0] + radius))];
  const [y0, y1] = [Math.max(0, Math.floor(at[1] - radius)), Math.min(pixels.height - 1, Math.ceil(at[1] + radius))];
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      if (Math.hypot(x + 0.5 - at[0], y + 0.5 - at[1]) > radius) continue;
      const k = 4 * (y * pixels.width + x);
      for (const c of [0, 1, 2] as const) sum[c] += pixels.data[k + c] ?? 0;
      n += 1;
    }
  }
  return n === 0 ? null : [sum[0] / n, sum[1] / n, sum[2] / n];
}
