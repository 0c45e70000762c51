/** A drawing with a size but no view box is cut off, not scaled, where it is shown larger; this gives it one. */
export function withViewBox(svg: string): string {
  const size = /^<svg\b[^>]*?\bwidth="(\d+(?:\.\d+)?)"[^>]*?\bheight="(\d+(?:\.\d+)?)"/.exec(svg);
  if (size === null || /^<svg\b[^>]*\bviewBox=/.test(svg)) return svg;
  return svg.replace("<svg", `<svg viewBox="0 0 ${size[1]} ${size[2]}"`);
}
