/** Figures as spreadsheets write them, and the units that a column's header may name. Pure. */

export type DecimalMark = "point" | "comma";

export type Figure =
  | { readonly kind: "empty" }
  | { readonly kind: "number"; readonly value: number }
  /** "1,140" in a file that never shows what a comma means. */
  | { readonly kind: "ambiguous" }
  | { readonly kind: "not_a_number" };

/** Spaces that stand between groups of three, the narrow and the unbreakable ones too, and the Swiss apostrophe. */
const between = /(?<=\d)[\s\u00a0\u2009\u202f'’](?=\d{3}(?!\d))/g;
const inGroups = (mark: string): RegExp => new RegExp(`^[+-]?[1-9]\\d{0,2}(?:\\${mark}\\d{3})+$`);
const commaGroups = inGroups(",");
const pointGroups = inGroups(".");

const number = (text: string): Figure =>
  /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? { kind: "number", value: Number(text) } : { kind: "not_a_number" };

/**
 * Reads a figure. `mark` is what the file uses between whole and part, as far as it shows (markOf); `pointsMayGroup`
 * says that in this file a lone point could group thousands as well, as where semicolons part the columns.
 */
export function readFigure(text: string, mark: DecimalMark | null, pointsMayGroup = false): Figure {
  const plain = text.trim().replaceAll(between, "");
  if (plain === "") return { kind: "empty" };
  const comma = plain.lastIndexOf(",");
  const point = plain.lastIndexOf(".");
  if (comma >= 0 && point >= 0) {
    const [group, decimal] = comma > point ? [pointGroups, ","] : [commaGroups, "."];
    const whole = plain.slice(0, plain.lastIndexOf(decimal));
    const part = plain.slice(plain.lastIndexOf(decimal) + 1);
    const ungrouped = group.test(whole) ? whole.replaceAll(/[,.]/g, "") : "?";
    return /^\d*$/.test(part) ? number(`${ungrouped}.${part}`) : { kind: "not_a_number" };
  }
  if (comma >= 0) {
    if (commaGroups.test(plain)) {
      const several = plain.indexOf(",") !== comma;
      if (several || mark === "point") return number(plain.replaceAll(",", ""));
      if (mark === null) return { kind: "ambiguous" };
    }
    return plain.indexOf(",") === comma ? number(plain.replace(",", ".")) : { kind: "not_a_number" };
  }
  if (point >= 0 && pointGroups.test(plain)) {
    const several = plain.indexOf(".") !== point;
    if (several || mark === "comma") return number(plain.replaceAll(".", ""));
    if (mark === null && pointsMayGroup) return { kind: "ambiguous" };
  }
  return number(plain);
}

/** What a file's figures show of its decimal mark: a lone comma or point that cannot group thousands. null: nothing, or both. */
export function markOf(texts: Iterable<string>): DecimalMark | null {
  let comma = false;
  let point = false;
  for (const text of texts) {
    const plain = text.trim().replaceAll(between, "");
    if (!/^[+-]?[\d.,]+$/.test(plain)) continue;
    const last = Math.max(plain.lastIndexOf(","), plain.lastIndexOf("."));
    if (last < 0) continue;
    const decimal = plain.includes(",") && plain.includes(".") ? true : !commaGroups.test(plain) && !pointGroups.test(plain);
    if (decimal && plain[last] === ",") comma = true;
    if (decimal && plain[last] === ".") point = true;
  }
  return comma === point ? null : comma ? "comma" : "point";
}

export type LengthUnit = "mm" | "cm" | "in";
export type MassUnit = "g" | "kg" | "oz" | "lb";
export type Unit = LengthUnit | MassUnit;

/**
 * How many mm or g one unit has. The inch is 25.4 mm and the avoirdupois pound 453.59237 g exactly, the ounce a
 * sixteenth of it (international yard and pound agreement of 1959; NIST Handbook 44, appendix C).
 */
const inBase: Readonly<Record<Unit, number>> = { mm: 1, cm: 10, in: 25.4, g: 1, kg: 1000, oz: 28.349523125, lb: 453.59237 };

/** A length in mm or a mass in g. Twelve figures are kept: more than any rule has, and free of binary dust. */
export const toBase = (value: number, unit: Unit): number => Number((value * inBase[unit]).toPrecision(12));

const unitNames: Readonly<Record<string, Unit>> = {
  mm: "mm", millimetre: "mm", millimetres: "mm", millimeter: "mm", millimeters: "mm",
  cm: "cm", centimetre: "cm", centimetres: "cm", centimeter: "cm", centimeters: "cm",
  in: "in", inch: "in", inches: "in", '"': "in", "″": "in",
  g: "g", gr: "g", gram: "g", grams: "g", gramme: "g", grammes: "g",
  kg: "kg", kilo: "kg", kilos: "kg", kilogram: "kg", kilograms: "kg",
  oz: "oz", ounce: "oz", ounces: "oz", lb: "lb", lbs: "lb", pound: "lb", pounds: "lb",
};
export const unitNamed = (name: string): Unit | null => unitNames[name.toLowerCase()] ?? null;
export const isLength = (unit: Unit): unit is LengthUnit => unit === "mm" || unit === "cm" || unit === "in";

/** A figure with a unit of its own behind it: "205 mm". */
export function splitUnit(text: string): { readonly figure: string; readonly unit: Unit | null } {
  const found = /^(.*\d\.?)\s*([a-z]+|"|″)\.?$/i.exec(text.trim());
  const unit = found === null ? null : unitNamed(found[2] ?? "");
  return unit === null ? { figure: text, unit: null } : { figure: found?.[1] ?? text, unit };
}
