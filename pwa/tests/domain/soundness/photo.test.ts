import { describe, expect, it } from "vitest";
import { toFace } from "../../../src/domain/soundness";
import { looksTurned, mmPerPixel, tiePhoto, toPhoto } from "../../../src/domain/soundness/photo";
import { facePoint, faceSize, photoPoint } from "../../../src/domain/units";

const face = faceSize(200, 70);
const corners = (...points: [number, number][]) => points.map(([x, y]) => photoPoint(x, y));
const tilted = corners([120, 200], [1480, 260], [1390, 820], [90, 700]);

describe("a photo tied to the face", () => {
  it("puts the tapped corners on the corners of the face", () => {
    const photo = tiePhoto(tilted, face);

    const wanted = [[0, 0], [200, 0], [200, 70], [0, 70]];
    tilted.forEach((corner, i) => {
      const at = toFace(photo.map, corner);
      expect(at[0]).toBeCloseTo(wanted[i]![0]!, 6);
      expect(at[1]).toBeCloseTo(wanted[i]![1]!, 6);
    });
  });

  it("leads from the photo to the face and back to the same pixel", () => {
    const photo = tiePhoto(tilted, face);

    for (const [x, y] of [[130, 210], [700, 500], [1380, 810], [400, 640]] as const) {
      const again = toPhoto(photo, toFace(photo.map, photoPoint(x, y)));
      expect(again[0]).toBeCloseTo(x, 6);
      expect(again[1]).toBeCloseTo(y, 6);
    }
  });

  it("keeps the cross-ratio of four places in a line, as perspective must (Hartley & Zisserman 2004, 2.5)", () => {
    const photo = tiePhoto(tilted, face);
    const places = [20, 60, 110, 180].map((x) => facePoint(x, 30));
    const ratio = (p: readonly (readonly number[])[]): number => {
      const d = (i: number, j: number): number => Math.hypot(p[i]![0]! - p[j]![0]!, p[i]![1]! - p[j]![1]!);
      return (d(0, 2) * d(1, 3)) / (d(1, 2) * d(0, 3));
    };

    expect(ratio(places.map((at) => toPhoto(photo, at)))).toBeCloseTo(ratio(places), 9);
  });

  it("knows the size of a pixel: 0.1 mm where 2000 pixels show 200 mm head on", () => {
    const photo = tiePhoto(corners([0, 0], [2000, 0], [2000, 700], [0, 700]), face);

    expect(mmPerPixel(photo, photoPoint(1000, 350))).toBeCloseTo(0.1, 9);
  });

  it("refuses crossed corners, and corners that would mirror the face, each with its reason", () => {
    const [a, b, c, d] = tilted;

    expect(() => tiePhoto([a!, c!, b!, d!], face)).toThrow(/corners cross/);
    expect(() => tiePhoto([a!, d!, c!, b!], face)).toThrow(/clockwise/);
  });

  it("notices that the corners began along the width, unless the stone is nearly square", () => {
    const [a, b, c, d] = tilted;

    expect(looksTurned(tilted, face)).toBe(false);
    expect(looksTurned([b!, c!, d!, a!], face)).toBe(true);
    expect(looksTurned([b!, c!, d!, a!], faceSize(80, 75))).toBe(false);
  });
});
