import { describe, expect, it } from "vitest";
import { tiePhoto } from "../../src/domain/soundness/photo";
import { faceSize, photoPoint } from "../../src/domain/units";
import { faceAtTouch, nearestPoint, photoAt } from "../../src/parts/PhotoTrace/place";
import { cornersOf, photosOf } from "../../src/screens/Inspect/draft";

const picture = { width: 1600, height: 1200 };
const photo = tiePhoto([photoPoint(100, 100), photoPoint(1500, 100), photoPoint(1500, 590), photoPoint(100, 590)], faceSize(200, 70));

describe("a touch on the photo", () => {
  it("is the photo's pixel under the finger, also where the picture is letterboxed", () => {
    const box = { left: 10, top: 20, width: 400, height: 400 };

    const { at, scale } = photoAt(10 + 200, 20 + 200, box, picture);

    expect([[...at], scale]).toEqual([[800, 600], 4]);
  });

  it("is kept inside the picture", () => {
    const { at } = photoAt(-50, 5000, { left: 0, top: 0, width: 400, height: 300 }, picture);

    expect([...at]).toEqual([0, 1200]);
  });

  it("means the edge when it is all but at it, and the place itself elsewhere", () => {
    expect(faceAtTouch(photo, photoPoint(110, 345), 36)).toEqual({ x_mm: 0, y_mm: 35 });
    expect(faceAtTouch(photo, photoPoint(450, 345), 36)).toEqual({ x_mm: 50, y_mm: 35 });
  });

  it("never snaps farther than 3 mm, however small the photo is shown", () => {
    expect(faceAtTouch(photo, photoPoint(100 + 7 * 4, 345), 400)).toEqual({ x_mm: 4, y_mm: 35 });
  });

  it("beside the stone means nothing", () => {
    expect(faceAtTouch(photo, photoPoint(20, 345), 36)).toBeNull();
    expect(faceAtTouch(photo, photoPoint(800, 800), 36)).toBeNull();
  });

  it("holds the nearest corner within reach, else none", () => {
    const points = [photoPoint(0, 0), photoPoint(30, 0)];

    expect([nearestPoint(points, photoPoint(20, 0), 25), nearestPoint(points, photoPoint(200, 0), 25)]).toEqual([1, null]);
  });
});

describe("corners in a draft", () => {
  it("belong to one photo; whatever else stands there is left", () => {
    const values = { "corners.aa": [[1, 2], [3, 4], "x", [5]] };

    expect(cornersOf(values, "aa").map((p) => [...p])).toEqual([[1, 2], [3, 4]]);
    expect(cornersOf(values, "bb")).toEqual([]);
  });

  it("travel with the photo once all four are set, and come back with it", () => {
    const photo = { sha256: "aa", view: "front" as const, caption: "" };
    const four = [[0, 0], [9, 0], [9, 4], [0, 4]];

    expect(photosOf({ photos: [photo], "corners.aa": four.slice(1) })).toEqual([photo]);
    expect(photosOf({ photos: [photo], "corners.aa": four })).toEqual([{ ...photo, corners: four }]);
    expect(cornersOf({ photos: [{ ...photo, corners: four }] }, "aa").map((p) => [...p])).toEqual(four);
    expect(photosOf({ photos: [{ ...photo, corners: four }], "corners.aa": [] })).toEqual([photo]);
  });
});
