/** Reads QR codes in a running picture: by the browser where it can, else by a library that is fetched only then. */

export type Reader = (video: HTMLVideoElement) => Promise<string | null>;

/** The shape of the browser's own (Shape Detection API); not every browser has it, and some have it without QR codes. */
interface Detector {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
interface DetectorMaker {
  new (options: { readonly formats: readonly string[] }): Detector;
  getSupportedFormats(): Promise<readonly string[]>;
}

async function ownDetector(): Promise<Detector | null> {
  const maker = (globalThis as { readonly BarcodeDetector?: DetectorMaker }).BarcodeDetector;
  if (maker === undefined) return null;
  try {
    return (await maker.getSupportedFormats()).includes("qr_code") ? new maker({ formats: ["qr_code"] }) : null;
  } catch {
    return null;
  }
}

/** A label fills a good part of the picture; more pixels than this only cost time. */
const longSidePx = 800;

export async function makeReader(): Promise<Reader> {
  const detector = await ownDetector();
  if (detector !== null) return async (video) => (await detector.detect(video))[0]?.rawValue ?? null;

  const { decodeQR } = await import("qr/decode.js");
  const canvas = document.createElement("canvas");
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  return (video) => {
    const [wide, high] = [video.videoWidth, video.videoHeight];
    if (pen === null || wide === 0 || high === 0) return Promise.resolve(null);
    const k = Math.min(1, longSidePx / Math.max(wide, high));
    canvas.width = Math.round(wide * k);
    canvas.height = Math.round(high * k);
    pen.drawImage(video, 0, 0, canvas.width, canvas.height);
    const { data, width, height } = pen.getImageData(0, 0, canvas.width, canvas.height);
    try {
      return Promise.resolve(decodeQR({ data, width, height }));
    } catch {
      return Promise.resolve(null); // No code in this picture; the next one may have it.
    }
  };
}
