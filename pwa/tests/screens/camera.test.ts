import { describe, expect, it } from "vitest";
import { photoPoint } from "../../src/domain/units";
import { meanColour, type Pixels } from "../../src/parts/PatchPick/patch";
import { cameraOf, toRecord } from "../../src/screens/Trial/camera";
import { readTrialDraft, toTrial } from "../../src/screens/Trial/draft";
import { readPatches } from "../../src/screens/Trial/MudCamera";

/** Left half one grey, right half another, as a photo of mud beside a card. */
function halves(left: number, right: number, width = 400, height = 200): Pixels {
  const data = new Uint8ClampedArray(4 * width * height);
  for (let k = 0; k < width * height; k++) {
    const grey = k % width < width / 2 ? left : right;
    data.set([grey, grey, grey, 255], 4 * k);
  }
  return { width, height, data };
}

describe("the colour of a patch", () => {
  it("is the mean inside the ring, and only there", () => {
    expect(meanColour(halves(40, 200), photoPoint(100, 100), 20)).toEqual([40, 40, 40]);
    expect(meanColour(halves(40, 200), photoPoint(200, 100), 20)?.map(Math.round)).toEqual([120, 120, 120]);
  });

  it("is unknown beside the picture, and cut at its edge", () => {
    expect(meanColour(halves(40, 200), photoPoint(-90, 100), 20)).toBeNull();
    expect(meanColour(halves(40, 200), photoPoint(0, 0), 20)).toEqual([40, 40, 40]);
  });
});

describe("mud against card", () => {
  it("reads mud of half the card's light as L* 72, also in a darker photo of the same", () => {
    // By the sRGB curve (IEC 61966-2-1) 188 is 0.503 of full light, 137 is 0.250, 99 is 0.125: each half of the one
    // before. Half of a card of Y = 0.876 is L* 116 · 0.438^(1/3) − 16 = 72.1 (CIE 1976).
    for (const [mud, card] of [[137, 188], [99, 137]] as const) {
      const read = readPatches(halves(mud, card), [photoPoint(100, 100), photoPoint(300, 100)]);

      expect(read?.kind === "read" ? read.shade.lightness : 0).toBeCloseTo(72.1, 0);
    }
  });

  it("waits for both patches, and refuses a card darker than the mud with the reason", () => {
    expect(readPatches(halves(60, 220), [photoPoint(100, 100)])).toBeNull();
    expect(readPatches(halves(60, 220), [photoPoint(300, 100), photoPoint(100, 100)])?.kind).toBe("refused");
  });
});

describe("the camera's reading in a trial", () => {
  const protocol = { id: "p", version: 2, observations: [{ id: "mud_shade" }], scales: [], steps: [] };
  const values = {
    protocol, blade_id: "b", face: "front", "observations.mud_shade": 2,
    "camera.sha256": "ab", "camera.patches": [[1, 2], [3, 4]], "camera.lightness": 41.4, "camera.shade": 3,
  };

  it("goes into notes and photos and never touches the tester's own shade", () => {
    const trial = toTrial(readTrialDraft(values), "s", "2026-03-06T19:00:00.000Z");

    expect(trial?.observations).toEqual({ mud_shade: 2 });
    expect(trial?.photos).toEqual([{ sha256: "ab", view: "mud", caption: "" }]);
    expect(trial?.notes).toContain("lightness 41");
    expect(trial?.notes).toContain("shade 3");
  });

  it("says nothing while there is only a photo", () => {
    expect(toRecord(cameraOf({ "camera.sha256": "ab" }))).toEqual({ photos: [], notes: "" });
    expect(toRecord(cameraOf({}))).toEqual({ photos: [], notes: "" });
  });
});
