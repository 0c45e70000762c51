/**
 * Numbers that know their unit, so that a length in millimetres cannot be passed where micrometres are asked for.
 * They are plain numbers at run time; a record's numbers become branded where they enter a computation.
 */

declare const unit: unique symbol;
type In<Unit extends string> = number & { readonly [unit]: Unit };

export type Mm = In<"mm">;
export type Mm2 = In<"mm²">;
export type Mm3 = In<"mm³">;
export type Um = In<"µm">;
export type Deg = In<"°">;
export type Gram = In<"g">;
export type GramPerCm3 = In<"g/cm³">;
export type Percent = In<"%">;

export const mm = (x: number): Mm => x as Mm;
export const mm2 = (x: number): Mm2 => x as Mm2;
export const mm3 = (x: number): Mm3 => x as Mm3;
export const um = (x: number): Um => x as Um;
export const deg = (x: number): Deg => x as Deg;
export const gram = (x: number): Gram => x as Gram;
export const gramPerCm3 = (x: number): GramPerCm3 => x as GramPerCm3;
export const percent = (x: number): Percent => x as Percent;

declare const plane: unique symbol;

/** A place on the stone's face: mm from its origin corner, x along the length, y along the width. */
export type FacePoint = readonly [x: number, y: number] & { readonly [plane]: "face" };

/** A place in a photo, in pixels of any one size of it. */
export type PhotoPoint = readonly [x: number, y: number] & { readonly [plane]: "photo" };

export const facePoint = (x: number, y: number): FacePoint => [x, y] as unknown as FacePoint;
export const photoPoint = (x: number, y: number): PhotoPoint => [x, y] as unknown as PhotoPoint;

/** The length and width of a face. */
export interface FaceSize {
  readonly length_mm: Mm;
  readonly width_mm: Mm;
}

export const faceSize = (length: number, width: number): FaceSize => ({
  length_mm: mm(length),
  width_mm: mm(width),
});
