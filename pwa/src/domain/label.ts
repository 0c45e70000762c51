/** What a scanned label says. Pure. */

export type Label =
  /** The address of a stone's page, on whatever service printed it. */
  | { readonly kind: "stone"; readonly id: string }
  /** A stone's code, as it would be typed. */
  | { readonly kind: "code"; readonly code: string }
  | { readonly kind: "other" };

const stonePath = /\/stones\/([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})\/?$/i;
/** Long enough for any code, and short enough to be none of the things that people also print as QR codes. */
const codeShape = /^[\p{L}\p{N}][\p{L}\p{N} ._/-]{0,39}$/u;

export function readLabel(text: string): Label {
  const said = text.trim();
  if (/^https?:\/\//i.test(said)) {
    const id = URL.canParse(said) ? stonePath.exec(new URL(said).pathname)?.[1] : undefined;
    return id === undefined ? { kind: "other" } : { kind: "stone", id: id.toLowerCase() };
  }
  const id = stonePath.exec(said)?.[1];
  if (id !== undefined) return { kind: "stone", id: id.toLowerCase() };
  return codeShape.test(said) ? { kind: "code", code: said } : { kind: "other" };
}
