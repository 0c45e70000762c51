/**
 * The grit numbers a finish can be compared with, and a band between two of them.
 *
 * JIS: the 18 precision grades of JIS R 6001 (1987, 1998). FEPA F: the microgrits of FEPA 42-2
 * (ISO 8486-2 names F230 to F1200; JIS R 6001-2 F230 to F2000). FEPA P: the fine end of FEPA 43-2
 * (ISO 6344). JIS ends at #8000: a number above it is a maker's own, so the ladder ends there too
 * and says so, instead of inventing rungs.
 */
import type { GritBand as Band } from "./records";

export type { Band };
export type GritSystem = Band["system"];

export const grits: Readonly<Record<GritSystem, readonly number[]>> = {
  jis: [240, 280, 320, 360, 400, 500, 600, 700, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000, 6000, 8000],
  fepa_f: [230, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000],
  fepa_p: [240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500],
};

/**
 * The band after tapping one rung.
 *
 * The first tap is both ends. A tap outside stretches the band to it; a tap inside moves the
 * nearer end there (the lower one when both are as near); a tap on the only rung takes it away.
 * So any band is two taps from nothing, and no tap is ever ignored.
 */
export function tapRung(band: Band | null, rung: number, system: GritSystem): Band | null {
  if (band === null || band.system !== system) return { low: rung, high: rung, system };
  const { low, high } = band;
  if (rung === low && rung === high) return null;
  if (rung < low) return { low: rung, high, system };
  if (rung > high) return { low, high: rung, system };
  if (rung === low) return { low, high: low, system };
  if (rung === high) return { low: high, high, system };
  const rungs = grits[system];
  const at = rungs.indexOf(rung);
  return at - rungs.indexOf(low) <= rungs.indexOf(high) - at ? { low: rung, high, system } : { low, high: rung, system };
}

export function rungState(band: Band | null, rung: number, system: GritSystem): "out" | "end" | "inside" {
  if (band === null || band.system !== system || rung < band.low || rung > band.high) return "out";
  return rung === band.low || rung === band.high ? "end" : "inside";
}

const sign: Record<GritSystem, string> = { jis: "#", fepa_f: "F", fepa_p: "P" };

export const gritText = (grit: number, system: GritSystem): string => `${sign[system]}${grit}`;

export function bandText(band: Band): string {
  const low = gritText(band.low, band.system);
  return band.low === band.high ? low : `${low} – ${gritText(band.high, band.system)}`;
}
