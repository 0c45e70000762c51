/**
 * Working on a photo of the face: its four corners, the way between photo and face, and how fine a tap can be. The
 * photo is not stretched; places on it are taken to the face, so that nothing of the picture is lost.
 */

import { photoPoint } from "../units";
import type { FacePoint, FaceSize, PhotoPoint } from "../units";
import { faceFromCorners, toFace } from "./geometry";
import type { PhotoMap } from "./geometry";
import { refuse } from "./refusal";

/** A photo that is tied to the face, both ways. */
export interface TiedPhoto {
  readonly face: FaceSize;
  readonly map: PhotoMap;
  readonly back: PhotoMap;
}

/**
 * Ties a photo to the face by its corners, in turn round the face from the origin corner along the length. Refused like
 * `faceFromCorners`, and also if they run anticlockwise, for a photo shows a face from above: the other way round
 * would record it mirrored.
 */
export function tiePhoto(corners: readonly PhotoPoint[], face: FaceSize): TiedPhoto {
  const map = faceFromCorners(corners, face);
  if (twiceArea(corners) < 0) {
    throw refuse("corners", "The corners run anticlockwise, which would mirror the face: tap them clockwise.");
  }
  return { face, map, back: inverse(map) };
}

/** A place on the face as a point of the photo. */
export function toPhoto({ back }: TiedPhoto, at: FacePoint): PhotoPoint {
  const [x, y] = at;
  const along = (row: PhotoMap[number]): number => row[0] * x + row[1] * y + row[2];
  const depth = along(back[2]);
  return photoPoint(along(back[0]) / depth, along(back[1]) / depth);
}

/** How many millimetres a step of one photo pixel is at a point, at the most. */
export function mmPerPixel(photo: TiedPhoto, at: PhotoPoint): number {
  const here = toFace(photo.map, at);
  const steps = [photoPoint(at[0] + 1, at[1]), photoPoint(at[0], at[1] + 1)].map((next) => toFace(photo.map, next));
  return Math.max(...steps.map((next) => Math.hypot(next[0] - here[0], next[1] - here[1])));
}

/**
 * Whether the first and third sides, which should lie along the length, look shorter than the others although the
 * stone is longer than wide by a good deal. Then the corners most likely began at the wrong one.
 */
export function looksTurned(corners: readonly PhotoPoint[], face: FaceSize): boolean {
  const [a, b, c, d] = corners;
  if (!a || !b || !c || !d || face.length_mm < 1.3 * face.width_mm) return false;
  const side = (p: PhotoPoint, q: PhotoPoint): number => Math.hypot(p[0] - q[0], p[1] - q[1]);
  return side(a, b) + side(c, d) < side(b, c) + side(d, a);
}

/** Twice the area inside the corners; negative if they run anticlockwise, with y counted downwards. */
function twiceArea(corners: readonly PhotoPoint[]): number {
  return corners.reduce((sum, p, i) => {
    const q = corners[(i + 1) % corners.length] ?? p;
    return sum + p[0] * q[1] - q[0] * p[1];
  }, 0);
}

/** The way back, by the adjugate: scale does not matter to a homography. */
function inverse([[a, b, c], [d, e, f], [g, h, i]]: PhotoMap): PhotoMap {
  return [
    [e * i - f * h, c * h - b * i, b * f - c * e],
    [f * g - d * i, a * i - c * g, c * d - a * f],
    [d * h - e * g, b * g - a * h, a * e - b * d],
  ];
}
