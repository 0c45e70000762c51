/** The camera's reading of the mud, as a trial's draft keeps it and as its record tells it. Pure. */

import type { PhotoUse } from "../../domain/records";
import { photoPoint, type PhotoPoint } from "../../domain/units";
import { mudShade as say } from "../../words/photo";

export interface CameraReading {
  readonly sha256: string | null;
  /** Mud, then card, in the photo's pixels. */
  readonly patches: readonly PhotoPoint[];
  readonly lightness: number | null;
  readonly shade: number | null;
}

export function cameraOf(values: Readonly<Record<string, unknown>>): CameraReading {
  const number = (name: string): number | null => (typeof values[name] === "number" ? values[name] : null);
  const patches = values["camera.patches"];
  return {
    sha256: typeof values["camera.sha256"] === "string" ? values["camera.sha256"] : null,
    patches: !Array.isArray(patches) ? [] : patches.flatMap((at: unknown) =>
      Array.isArray(at) && typeof at[0] === "number" && typeof at[1] === "number" ? [photoPoint(at[0], at[1])] : []),
    lightness: number("camera.lightness"),
    shade: number("camera.shade"),
  };
}

/** What of it travels with the trial: the photo and a sentence in the notes. A photo without a reading says nothing. */
export function toRecord({ sha256, lightness, shade }: CameraReading): { readonly photos: readonly PhotoUse[]; readonly notes: string } {
  if (sha256 === null || lightness === null || shade === null) return { photos: [], notes: "" };
  return { photos: [{ sha256, view: "mud", caption: "" }], notes: say.note(lightness.toFixed(0), shade) };
}
