import { useEffect } from "preact/hooks";
import type { Calibration } from "../../domain/calibration";
import type { Purpose } from "../../domain/records";
import { readCalibration } from "../../store/calibration";
import { useLive } from "../../store/live";
import { askCalibration, type Asked } from "../../sync/pooled";

/**
 * One's own calibration: what is kept at once, then what the service says. It is asked for once the pooled
 * grades were (`asked`), so that both speak of the same pooling. undefined: not read yet.
 */
export function useCalibration(purpose: Purpose | null, asked: Asked | null): Calibration | null | undefined {
  const kept = useLive(async () => (purpose === null ? null : readCalibration(purpose)), [purpose]);
  useEffect(() => {
    if (purpose !== null && asked !== null) void askCalibration(purpose);
  }, [purpose, asked]);
  return kept === undefined ? undefined : (kept?.answer ?? null);
}
