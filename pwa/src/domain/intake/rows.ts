/** One stone to be taken in, as it is being typed: what it says, and what is wrong with it. Pure. */

import type { Mark, OwnFields, PhotoUse, StoneForm, StoneKind } from "../records";
import { densityOf } from "../soundness/facts";
import { isCode, plainCode } from "./codes";
import { readFigure } from "./figures";

export type RowField =
  | "code" | "kind" | "form" | "length_mm" | "width_mm" | "thickness_mm" | "mass_g" | "colour" | "sides_sealed"
  | "mark_front" | "mark_back" | "cost" | "price" | "currency" | "notes";

/** Everything as text, as it was typed: a draft keeps what is wrong, too. */
export type RowValues = Readonly<Record<RowField, string>>;

/** Something that a file left unsure and only a person can settle; gone once the cell is edited. */
export type Doubt =
  | { readonly kind: "ambiguous" }
  | { readonly kind: "other_unit"; readonly wanted: string }
  | { readonly kind: "no_size" }
  | { readonly kind: "extra_cells"; readonly n: number };

export interface IntakeRow {
  /** The id that the stone will have, made once, so that sending twice sends one stone. */
  readonly id: string;
  readonly values: RowValues;
  readonly photos: readonly PhotoUse[];
  /** Where it came from, with the line as an editor counts them. */
  readonly from: { readonly file: string; readonly line: number } | null;
  readonly doubts: Readonly<Partial<Record<RowField | "row", Doubt>>>;
  /** Not taken in with the others; it stays in the draft. */
  readonly left_out: boolean;
  /** Offered by the grid and not touched yet: no stone, and nothing is asked of it. */
  readonly untouched: boolean;
}

export const kindList: readonly StoneKind[] = [
  "slate", "novaculite", "schist", "sandstone", "siltstone", "garnet_slate", "chert", "other",
];
export const formList: readonly StoneForm[] = ["bench", "hand", "finger", "irregular"];
/** What may stand on a face, as the grid's cell holds it. */
export const markList = ["", "stamp", "natural_skin", "both"] as const;

/** Ends are the service's own (its description, StoneWrite and OfferWrite); api/agreement.ts cannot hold numbers. */
export const bounds: Readonly<Partial<Record<RowField, { readonly low: number; readonly high: number; readonly unit: string }>>> = {
  length_mm: { low: 5, high: 2000, unit: "mm" },
  width_mm: { low: 3, high: 1000, unit: "mm" },
  thickness_mm: { low: 1, high: 500, unit: "mm" },
  mass_g: { low: 1, high: 200_000, unit: "g" },
  cost: { low: 0, high: 1e8, unit: "" },
  price: { low: 0, high: 1e8, unit: "" },
};
const longest: Readonly<Partial<Record<RowField, number>>> = { colour: 120, notes: 4000 };
const needed: readonly RowField[] = ["code", "kind", "form", "length_mm", "width_mm", "thickness_mm"];

export type Trouble =
  | { readonly field: RowField; readonly kind: "missing" | "not_a_number" | "bad_code" | "bad_currency" | "ambiguous" | "no_size" | "unknown_word" }
  | { readonly field: RowField; readonly kind: "out_of_range"; readonly low: number; readonly high: number; readonly unit: string }
  | { readonly field: RowField; readonly kind: "too_long"; readonly most: number; readonly is: number }
  | { readonly field: RowField; readonly kind: "other_unit"; readonly wanted: string }
  /** Another row of this draft has the code: `row` counts from 1. */
  | { readonly field: "code"; readonly kind: "twice"; readonly row: number; readonly line: number | null }
  /** A stone of the club has it. */
  | { readonly field: "code"; readonly kind: "taken"; readonly by: string; readonly waiting: boolean }
  | { readonly field: null; readonly kind: "extra_cells"; readonly n: number };

/** Worth a second look, and no reason to refuse. */
export type Remark =
  | { readonly field: "mass_g"; readonly kind: "density"; readonly g_cm3: number; readonly low: number; readonly high: number }
  | { readonly field: "width_mm"; readonly kind: "wider_than_long" }
  | { readonly field: "code"; readonly kind: "withdrawn_code"; readonly by: string };

export interface Checked {
  readonly troubles: readonly Trouble[];
  readonly remarks: readonly Remark[];
  readonly density: number | null;
}

/** A code of the club, and what became of its stone. */
export interface KnownCode {
  readonly code: string;
  readonly state: "here" | "waiting" | "withdrawn";
}

/**
 * Outside of this a mass and three sizes are a slip of the pen rather than a whetstone: the heaviest garnet rocks and
 * the lightest porous sandstones lie within (common practice, no source). The club's own rule goes before.
 */
export const believableDensity = { low: 1.6, high: 3.6 } as const;

export const emptyValues: RowValues = {
  code: "", kind: "", form: "", length_mm: "", width_mm: "", thickness_mm: "", mass_g: "", colour: "", sides_sealed: "",
  mark_front: "", mark_back: "", cost: "", price: "", currency: "", notes: "",
};

/** What a stone has in common with the one before it. */
export const repeated = (values: RowValues): RowValues => ({
  ...emptyValues,
  kind: values.kind, form: values.form, sides_sealed: values.sides_sealed, currency: values.currency,
});

export function newRow(id: string, values: RowValues, more: Partial<Pick<IntakeRow, "from" | "doubts" | "untouched">> = {}): IntakeRow {
  return { id, values, photos: [], from: null, doubts: {}, left_out: false, untouched: false, ...more };
}

/** A cell typed anew; what was unsure about it is settled by that. */
export function withValue(row: IntakeRow, field: RowField, text: string): IntakeRow {
  const doubts = Object.fromEntries(Object.entries(row.doubts).filter(([name]) => name !== field));
  return { ...row, values: { ...row.values, [field]: text }, doubts, untouched: false };
}

/** The dealer says that the row is right although its line had more cells than columns. */
export const asItStands = (row: IntakeRow): IntakeRow => ({
  ...row, doubts: Object.fromEntries(Object.entries(row.doubts).filter(([name]) => name !== "row")),
});

/** A number as people type it, with a comma or a point; null for an empty or unsound one. */
export function figureOf(text: string): number | null {
  const typed = readFigure(text, text.includes(",") ? "comma" : "point");
  return typed.kind === "number" ? typed.value : null;
}

const isOneOf = (list: readonly string[], word: string): boolean => list.includes(word);

function wrongWith(field: RowField, row: IntakeRow): Trouble | null {
  const text = row.values[field].trim();
  const doubt = row.doubts[field];
  if (doubt !== undefined && doubt.kind !== "extra_cells") return { field, ...doubt };
  if (text === "") {
    const asked = needed.includes(field) || (field === "currency" && (row.values.cost.trim() !== "" || row.values.price.trim() !== ""));
    return asked ? { field, kind: "missing" } : null;
  }
  const bound = bounds[field];
  if (bound !== undefined) {
    const value = figureOf(text);
    if (value === null) return { field, kind: "not_a_number" };
    return value < bound.low || value > bound.high ? { field, kind: "out_of_range", ...bound } : null;
  }
  const most = longest[field];
  if (most !== undefined) return text.length > most ? { field, kind: "too_long", most, is: text.length } : null;
  if (field === "code") return isCode(text) ? null : { field, kind: "bad_code" };
  if (field === "currency") return /^[A-Z]{3}$/.test(text) ? null : { field, kind: "bad_currency" };
  const words = field === "kind" ? kindList : field === "form" ? formList : field === "sides_sealed" ? ["yes"] : markList;
  return isOneOf(words, text) ? null : { field, kind: "unknown_word" };
}

const fields = Object.keys(emptyValues) as RowField[];

/** Everything about one row that does not depend on the others. */
function checkAlone(row: IntakeRow, believable: { readonly low: number; readonly high: number }): Checked {
  const troubles = fields.flatMap((field) => wrongWith(field, row) ?? []);
  const remarks: Remark[] = [];
  const sound = (field: RowField): number | null => (troubles.some((one) => one.field === field) ? null : figureOf(row.values[field]));
  const [length_mm, width_mm, thickness_mm, mass_g] = [sound("length_mm"), sound("width_mm"), sound("thickness_mm"), sound("mass_g")];
  const form = row.values.form as StoneForm;
  const density = length_mm === null || width_mm === null || thickness_mm === null
    ? null
    : densityOf({ kind: (row.values.kind || "other") as StoneKind, form, length_mm, width_mm, thickness_mm, mass_g, marks: [], sides_sealed: false });
  if (density !== null && (density < believable.low || density > believable.high)) {
    remarks.push({ field: "mass_g", kind: "density", g_cm3: density, ...believable });
  }
  if (length_mm !== null && width_mm !== null && width_mm > length_mm && form !== "irregular") {
    remarks.push({ field: "width_mm", kind: "wider_than_long" });
  }
  const extra = row.doubts.row;
  if (extra?.kind === "extra_cells") troubles.push({ field: null, kind: "extra_cells", n: extra.n });
  return { troubles, remarks, density };
}

/** What was found of a row stays true as long as the row is the same; 500 rows are not read anew at every key. */
const alone = new WeakMap<IntakeRow, { readonly low: number; readonly high: number; readonly checked: Checked }>();

function checkedAlone(row: IntakeRow, believable: { readonly low: number; readonly high: number }): Checked {
  const known = alone.get(row);
  if (known?.low === believable.low && known.high === believable.high) return known.checked;
  const checked = checkAlone(row, believable);
  alone.set(row, { ...believable, checked });
  return checked;
}

const fine: Checked = { troubles: [], remarks: [], density: null };

/**
 * What is wrong with each row, in their order. `known` are the club's codes by their plain form. Of two rows with one
 * code the later one is told of the earlier; a row that is left out has no say.
 */
export function checkRows(
  rows: readonly IntakeRow[],
  known: ReadonlyMap<string, KnownCode>,
  believable: { readonly low: number; readonly high: number } = believableDensity,
): Checked[] {
  const first = new Map<string, number>();
  return rows.map((row, i) => {
    if (row.untouched) return fine;
    const checked = checkedAlone(row, believable);
    const plain = plainCode(row.values.code);
    if (plain === "" || checked.troubles.some((one) => one.field === "code")) return checked;
    const holder = known.get(plain);
    if (holder !== undefined && holder.state !== "withdrawn") {
      return { ...checked, troubles: [{ field: "code", kind: "taken", by: holder.code, waiting: holder.state === "waiting" }, ...checked.troubles] };
    }
    const earlier = first.get(plain);
    if (!row.left_out && earlier === undefined) first.set(plain, i);
    if (earlier !== undefined) {
      return { ...checked, troubles: [{ field: "code", kind: "twice", row: earlier + 1, line: rows[earlier]?.from?.line ?? null }, ...checked.troubles] };
    }
    return holder === undefined ? checked : { ...checked, remarks: [{ field: "code", kind: "withdrawn_code", by: holder.code }, ...checked.remarks] };
  });
}

function marksOn(face: Mark["face"], text: string): Mark[] {
  const kinds: readonly Mark["kind"][] = text === "both" ? ["stamp", "natural_skin"] : text === "stamp" || text === "natural_skin" ? [text] : [];
  return kinds.map((kind) => ({ face, kind, notes: "" }));
}

/** The stone that a row without troubles describes. */
export function stoneOf(row: IntakeRow, lotId: string): OwnFields<"stone"> {
  const { values } = row;
  const figure = (field: RowField): number => {
    const value = figureOf(values[field]);
    if (value === null) throw new Error(`${field} of ${values.code} is no number; the rows were not checked.`);
    return value;
  };
  return {
    code: values.code.trim(),
    lot_id: lotId,
    kind: values.kind.trim() as StoneKind,
    form: values.form.trim() as StoneForm,
    length_mm: figure("length_mm"),
    width_mm: figure("width_mm"),
    thickness_mm: figure("thickness_mm"),
    mass_g: figureOf(values.mass_g),
    colour: values.colour.trim(),
    marks: [...marksOn("front", values.mark_front), ...marksOn("back", values.mark_back)],
    sides_sealed: values.sides_sealed.trim() === "yes",
    photos: row.photos,
    notes: values.notes.trim(),
  };
}

/** What it cost and is to fetch; null where neither was given. */
export function offerOf(row: IntakeRow): OwnFields<"offer"> | null {
  const [cost, price] = [figureOf(row.values.cost), figureOf(row.values.price)];
  if (cost === null && price === null) return null;
  return { stone_id: row.id, state: "for_sale", cost, price, currency: row.values.currency.trim(), notes: "" };
}
