import type { RefObject } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { PictureSize } from "./place";

/** Pixels of the photo for one pixel of the screen, so that what is drawn over it is as large on every photo and screen. */
export function useShownScale(svg: RefObject<SVGSVGElement | null>, picture: PictureSize): number {
  const [scale, setScale] = useState(picture.width / 360);
  useEffect(() => {
    const drawing = svg.current;
    if (drawing === null) return;
    const watch = new ResizeObserver(() => {
      const box = drawing.getBoundingClientRect();
      if (box.width > 0 && box.height > 0) setScale(Math.max(picture.width / box.width, picture.height / box.height));
    });
    watch.observe(drawing);
    return () => watch.disconnect();
  }, [svg, picture]);
  return scale;
}
