/** Touches on a photo that fills a box: from the screen to the photo's pixels and from there to the face. Pure. */

import { toFace } from "../../domain/soundness";
import { mmPerPixel, type TiedPhoto } from "../../domain/soundness/photo";
import { photoPoint, type PhotoPoint } from "../../domain/units";
import { settle, type FacePoint, type ScreenBox } from "../StoneFace/geometry";

export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/** The photo's pixel under a touch, and how many of its pixels one pixel of the screen covers. */
export function photoAt(clientX: number, clientY: number, box: ScreenBox, picture: PictureSize): { at: PhotoPoint; scale: number } {
  const scale = Math.max(picture.width / box.width, picture.height / box.height);
  const left = box.left + (box.width - picture.width / scale) / 2;
  const top = box.top + (box.height - picture.height / scale) / 2;
  return { at: kept(photoPoint((clientX - left) * scale, (clientY - top) * scale), picture), scale };
}

/** A point brought back into the picture, to a tenth of a pixel. */
export function kept(at: PhotoPoint, picture: PictureSize): PhotoPoint {
  const one = (x: number, end: number): number => Math.round(Math.min(Math.max(x, 0), end) * 10) / 10;
  return photoPoint(one(at[0], picture.width), one(at[1], picture.height));
}

/** Which point is nearest, if one is within reach. */
export function nearestPoint(points: readonly PhotoPoint[], to: PhotoPoint, reach: number): number | null {
  let best: number | null = null;
  let least = reach;
  points.forEach((point, i) => {
    const away = Math.hypot(point[0] - to[0], point[1] - to[1]);
    if (away <= least) [best, least] = [i, away];
  });
  return best;
}

/** A tap may miss the edge by this much of the face's size, for the edge is rounded and the corners are fingertips too. */
const slack = 0.04;

/**
 * The place on the face that a touch means; null if it is beside the stone. `reachPx`: so near an edge, in the photo's
 * pixels, the edge itself is meant.
 */
export function faceAtTouch(photo: TiedPhoto, at: PhotoPoint, reachPx: number): FacePoint | null {
  let place: ReturnType<typeof toFace>;
  try {
    place = toFace(photo.map, at);
  } catch {
    return null; // Beyond the horizon of the face.
  }
  const { length_mm, width_mm } = photo.face;
  const spare = slack * Math.max(length_mm, width_mm);
  const outside = place[0] < -spare || place[0] > length_mm + spare || place[1] < -spare || place[1] > width_mm + spare;
  if (outside) return null;
  // No tap is worth more than a few millimetres of snapping, however small the photo is shown.
  const reach = Math.min(reachPx * mmPerPixel(photo, at), 3);
  return settle({ x_mm: place[0], y_mm: place[1] }, photo.face, reach);
}
