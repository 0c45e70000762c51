/** What a spreadsheet's column means, told by its header. Pure. */

import { isLength, unitNamed, type Unit } from "./figures";
import type { RowField } from "./rows";

/** `size` holds length, width and thickness in one cell; null: the column is not taken in. */
export type ColumnMeaning = RowField | "size" | null;

export interface ColumnUse {
  readonly meaning: ColumnMeaning;
  /** Of a measure; mm or g where the header names none. */
  readonly unit: Unit | null;
  /** Of cost and price, where the header names it. */
  readonly currency: string | null;
}

const names: Readonly<Record<Exclude<ColumnMeaning, null>, readonly string[]>> = {
  code: ["code", "stone", "stone code", "stone no", "stone number", "no", "nr", "number", "id", "label", "item", "sku"],
  kind: ["kind", "type", "rock", "stone type", "kind of stone", "material"],
  form: ["form", "shape", "format", "cut"],
  length_mm: ["length", "l", "long"],
  width_mm: ["width", "w", "wide", "breadth", "b"],
  thickness_mm: ["thickness", "t", "thick", "height", "h", "depth"],
  size: ["size", "sizes", "dimensions", "dimension", "l x w x t", "lxwxt", "l x w x h", "lxwxh"],
  mass_g: ["mass", "weight", "wt", "m"],
  colour: ["colour", "color"],
  sides_sealed: ["sides sealed", "sealed", "sealed sides", "lacquered"],
  mark_front: ["front mark", "mark front", "mark on front", "stamp", "front stamp", "stamp front", "mark"],
  mark_back: ["back mark", "mark back", "mark on back", "back stamp", "stamp back"],
  cost: ["cost", "cost price", "paid", "bought for", "purchase price"],
  price: ["price", "sale price", "asking price", "asked", "retail"],
  currency: ["currency", "cur"],
  notes: ["notes", "note", "remarks", "remark", "comments", "comment"],
};
const meaningOf = new Map<string, Exclude<ColumnMeaning, null>>(
  (Object.entries(names) as [Exclude<ColumnMeaning, null>, readonly string[]][]).flatMap(([meaning, all]) => all.map((name) => [name, meaning] as const)),
);

const currencySigns: Readonly<Record<string, string>> = { "€": "EUR", "£": "GBP", "¥": "JPY" };

export const isMeasure = (meaning: ColumnMeaning): boolean =>
  meaning === "length_mm" || meaning === "width_mm" || meaning === "thickness_mm" || meaning === "size" || meaning === "mass_g";
export const isMoney = (meaning: ColumnMeaning): boolean => meaning === "cost" || meaning === "price";

const unused: ColumnUse = { meaning: null, unit: null, currency: null };

/** The use of a column with its usual unit, as when the dealer chooses what it means. */
export const usedAs = (meaning: ColumnMeaning): ColumnUse => ({
  meaning,
  unit: !isMeasure(meaning) ? null : meaning === "mass_g" ? "g" : "mm",
  currency: null,
});

/** "length_mm", "Length (mm)", "length cm", "Weight [kg]", "Price EUR": the meaning, and the unit if it says so. */
export function readHeader(header: string): ColumnUse {
  const plain = header.trim().toLowerCase().replaceAll(/[_()[\]{}.,:;/\\-]+/g, " ").replaceAll(/(["″€£¥])/g, " $1 ").replaceAll(/\s+/g, " ").trim();
  const whole = meaningOf.get(plain);
  if (whole !== undefined) return usedAs(whole);
  const words = plain.split(" ");
  const last = words.at(-1) ?? "";
  const before = words.slice(0, -1);
  // "length in mm": the preposition is no inch.
  if (before.length > 1 && before.at(-1) === "in") before.pop();
  const meaning = meaningOf.get(before.join(" "));
  if (meaning === undefined) return unused;
  const unit = unitNamed(last);
  if (isMeasure(meaning) && unit !== null && isLength(unit) === (meaning !== "mass_g")) return { ...usedAs(meaning), unit };
  if (isMoney(meaning)) {
    const currency = currencySigns[last] ?? (/^[a-z]{3}$/.test(last) ? last.toUpperCase() : null);
    if (currency !== null) return { ...usedAs(meaning), currency };
  }
  return unused;
}

/** The order of the grid, which is also what columns without a header are taken for. */
export const gridFields: readonly RowField[] = [
  "code", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour", "sides_sealed", "mark_front",
  "mark_back", "cost", "price", "currency", "notes",
];

/** Whether a first row names columns rather than describes a stone. */
export function isHeader(cells: readonly string[]): boolean {
  const known = cells.filter((cell) => readHeader(cell).meaning !== null).length;
  return known >= 2 || (known === 1 && cells.filter((cell) => cell.trim() !== "").length === 1);
}

/** The uses of all columns. A meaning stands once: of two columns with the same one the first has it. */
export function readHeaders(cells: readonly string[]): ColumnUse[] {
  const seen = new Set<ColumnMeaning>();
  return cells.map((cell) => {
    const use = readHeader(cell);
    if (use.meaning === null || seen.has(use.meaning)) return unused;
    seen.add(use.meaning);
    return use;
  });
}
