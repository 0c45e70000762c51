/**
 * A photo made fit to keep: upright, at most 1,600 pixels along its long side, and drawn afresh, so
 * that nothing travels with it that the camera wrote beside the picture, such as where it was taken.
 */
export const longSidePx = 1600;

export function shrunkSize(width: number, height: number): { width: number; height: number } {
  const k = Math.min(1, longSidePx / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * k)), height: Math.max(1, Math.round(height * k)) };
}

export async function shrinkPhoto(file: Blob): Promise<Blob> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  try {
    const { width, height } = shrunkSize(picture.width, picture.height);
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = height;
    const pen = canvas.getContext("2d");
    if (pen === null) throw new Error("This browser cannot draw pictures.");
    pen.drawImage(picture, 0, 0, width, height);
    return await new Promise<Blob>((done, fail) => {
      // A browser without a WebP writer answers with PNG, which would be larger than what came in.
      canvas.toBlob((webp) => {
        if (webp?.type === "image/webp") done(webp);
        else canvas.toBlob((jpeg) => (jpeg ? done(jpeg) : fail(new Error("The picture could not be written."))), "image/jpeg", 0.85);
      }, "image/webp", 0.82);
    });
  } finally {
    picture.close();
  }
}
