import { useEffect, useState } from "preact/hooks";
import type { PictureSize } from "./place";

/** The photo's own size in pixels, once it is open; null before. */
export function usePictureSize(url: string | null): PictureSize | null {
  const [known, setKnown] = useState<{ url: string; size: PictureSize } | null>(null);
  useEffect(() => {
    if (url === null) return;
    let current = true;
    const picture = new Image();
    picture.onload = () => {
      if (current) setKnown({ url, size: { width: picture.naturalWidth, height: picture.naturalHeight } });
    };
    picture.src = url;
    return () => { current = false; };
  }, [url]);
  return known !== null && known.url === url ? known.size : null;
}
