/** A table on its way into the grid: which column means what, and the stones its lines describe. Pure. */

import { gridFields, isHeader, isMeasure, isMoney, readHeaders, usedAs, type ColumnMeaning, type ColumnUse } from "./columns";
import { isLength, markOf, readFigure, splitUnit, toBase, type DecimalMark, type Unit } from "./figures";
import { emptyValues, formList, kindList, type Doubt, type IntakeRow, type RowField, type RowValues } from "./rows";
import type { Line } from "./table";

/** Kept in the draft until its rows are in the grid or it is put away. */
export interface Stage {
  /** The file's name; empty for something pasted. */
  readonly file: string;
  readonly delimiter: string;
  readonly notUtf8: boolean;
  readonly header: readonly string[] | null;
  readonly lines: readonly Line[];
  readonly uses: readonly ColumnUse[];
  /** For lines that do not say. */
  readonly defaults: { readonly kind: string; readonly form: string; readonly currency: string };
}

export interface Given {
  readonly file: string;
  readonly delimiter: string;
  readonly notUtf8: boolean;
  readonly lines: readonly Line[];
  readonly defaults: Stage["defaults"];
}

/** A table with its columns recognised by name, or, without a header, in the order of the grid. */
export function stageOf({ lines, ...given }: Given): Stage {
  const [first] = lines;
  if (first !== undefined && isHeader(first.cells)) {
    return { ...given, header: first.cells, lines: lines.slice(1), uses: readHeaders(first.cells) };
  }
  const width = Math.max(0, ...lines.map(({ cells }) => cells.length));
  return { ...given, header: null, lines, uses: Array.from({ length: width }, (_, i) => usedAs(gridFields[i] ?? null)) };
}

/** A column given another meaning; a column that had it before loses it. */
export function reassigned(stage: Stage, column: number, meaning: ColumnMeaning): Stage {
  const uses = stage.uses.map((use, i) =>
    i === column ? usedAs(meaning) : meaning !== null && use.meaning === meaning ? usedAs(null) : use);
  return { ...stage, uses };
}

export const withUnit = (stage: Stage, column: number, unit: Unit): Stage => ({
  ...stage, uses: stage.uses.map((use, i) => (i === column ? { ...use, unit } : use)),
});

/** Without these no line describes a stone. */
export function missingColumns({ uses, defaults }: Stage): RowField[] {
  const has = (field: RowField): boolean =>
    uses.some(({ meaning }) => meaning === field || (meaning === "size" && (field === "length_mm" || field === "width_mm" || field === "thickness_mm")));
  const needed = (["length_mm", "width_mm", "thickness_mm", "kind", "form"] as const).filter((field) => !has(field));
  return needed.filter((field) => !(field === "kind" || field === "form") || defaults[field] === "");
}

/** What the file's figures show of its decimal mark. */
export function stageMark({ uses, lines }: Stage): DecimalMark | null {
  const columns = uses.flatMap(({ meaning }, i) => (isMoney(meaning) || (isMeasure(meaning) && meaning !== "size") ? [i] : []));
  return markOf(lines.flatMap(({ cells }) => columns.map((i) => splitUnit(cells[i] ?? "").figure)));
}

const word = (text: string): string => text.trim().toLowerCase().replaceAll(/[\s_-]+/g, "_");

function kindWord(text: string): string {
  const plain = word(text).replace(/_stone$/, "");
  return (kindList as readonly string[]).includes(plain) ? plain : text.trim();
}
function formWord(text: string): string {
  const plain = word(text).replace(/_(stone|piece)$/, "");
  return (formList as readonly string[]).includes(plain) ? plain : text.trim();
}
const yesWords = ["yes", "y", "true", "1", "x", "✓", "sealed"];
const noWords = ["", "no", "n", "false", "0", "-", "–", "unsealed"];
const sealedWord = (text: string): string => (yesWords.includes(text.trim().toLowerCase()) ? "yes" : noWords.includes(text.trim().toLowerCase()) ? "" : text.trim());

function markWord(text: string): string {
  const plain = word(text);
  const stamp = /stamp/.test(plain) || yesWords.includes(plain);
  const skin = /skin|crust/.test(plain);
  if (plain === "both" || (stamp && skin)) return "both";
  if (stamp || skin) return stamp ? "stamp" : "natural_skin";
  return noWords.includes(plain) || plain === "none" ? "" : text.trim();
}

interface Reading {
  readonly mark: DecimalMark | null;
  readonly pointsMayGroup: boolean;
}
type Cell = { readonly text: string; readonly doubt: Doubt | null };

/** A measure in mm or g, or what was written with what makes it unsure. */
function measured(text: string, unit: Unit, { mark, pointsMayGroup }: Reading): Cell {
  const split = splitUnit(text);
  const wanted = isLength(unit) ? "mm" : "g";
  const read = readFigure(split.figure, mark, pointsMayGroup);
  if (split.unit !== null && split.unit !== unit && read.kind === "number") return { text, doubt: { kind: "other_unit", wanted } };
  if (read.kind === "number") return { text: String(toBase(read.value, unit)), doubt: null };
  return { text, doubt: read.kind === "ambiguous" ? { kind: "ambiguous" } : null };
}

function money(text: string, { mark, pointsMayGroup }: Reading): Cell {
  const read = readFigure(text.replace(/^[€£$¥]\s*|\s*[€£$¥]$/g, ""), mark, pointsMayGroup);
  if (read.kind === "number") return { text: String(read.value), doubt: null };
  return { text, doubt: read.kind === "ambiguous" ? { kind: "ambiguous" } : null };
}

const sides = ["length_mm", "width_mm", "thickness_mm"] as const;

/** "205 x 75 x 25": three figures, the unit once at the end or in the header. */
function sized(text: string, unit: Unit, reading: Reading): readonly Cell[] {
  const { figure, unit: own } = splitUnit(text);
  const parts = figure.split(/\s*[x×*]\s*/i);
  if (text.trim() === "") return sides.map(() => ({ text: "", doubt: null }));
  if (parts.length !== 3) return [{ text, doubt: { kind: "no_size" } }, { text: "", doubt: null }, { text: "", doubt: null }];
  return parts.map((part) => (own !== null && own !== unit ? { text: `${part} ${own}`, doubt: { kind: "other_unit", wanted: "mm" } } : measured(part, unit, reading)));
}

/** One line as values of a row. */
function valuesOf(cells: readonly string[], stage: Stage, reading: Reading): Pick<IntakeRow, "values" | "doubts"> {
  const values: Record<RowField, string> = { ...emptyValues };
  const doubts: Partial<Record<RowField | "row", Doubt>> = {};
  let currency = "";
  const set = (field: RowField, { text, doubt }: Cell): void => {
    values[field] = text;
    if (doubt !== null) doubts[field] = doubt;
  };
  stage.uses.forEach(({ meaning, unit, currency: named }, i) => {
    const text = cells[i] ?? "";
    if (meaning === null) return;
    if (meaning === "size") sized(text, unit ?? "mm", reading).forEach((cell, side) => set(sides[side] ?? "length_mm", cell));
    else if (isMeasure(meaning)) set(meaning, measured(text, unit ?? (meaning === "mass_g" ? "g" : "mm"), reading));
    else if (isMoney(meaning)) {
      set(meaning, money(text, reading));
      if (named !== null && text !== "") currency = named;
    } else values[meaning] = plainWord(meaning, text);
  });
  const extra = cells.slice(stage.uses.length).filter((cell) => cell !== "").length;
  if (extra > 0) doubts.row = { kind: "extra_cells", n: extra };
  if (values.kind === "") values.kind = stage.defaults.kind;
  if (values.form === "") values.form = stage.defaults.form;
  if (values.currency === "" && (values.cost !== "" || values.price !== "")) values.currency = currency || stage.defaults.currency;
  return { values, doubts };
}

function plainWord(field: RowField, text: string): string {
  if (field === "kind") return kindWord(text);
  if (field === "form") return formWord(text);
  if (field === "sides_sealed") return sealedWord(text);
  if (field === "mark_front" || field === "mark_back") return markWord(text);
  return field === "currency" ? text.trim().toUpperCase() : text.trim();
}

/** The rows that a table gives, each with an id that `mint` makes. Nothing is dropped for being wrong. */
export function stagedRows(stage: Stage, mint: (line: number) => string): IntakeRow[] {
  const reading: Reading = { mark: stageMark(stage), pointsMayGroup: stage.delimiter === ";" };
  return stage.lines.map(({ line, cells }) => ({
    id: mint(line), ...valuesOf(cells, stage, reading), photos: [], from: { file: stage.file, line }, left_out: false, untouched: false,
  }));
}

/** Cells laid over the grid from a place on, as a spreadsheet does it; rows that are missing are made by `make`. */
export function pasted(
  rows: readonly IntakeRow[],
  at: { readonly row: number; readonly field: RowField },
  lines: readonly Line[],
  delimiter: string,
  make: (before: readonly IntakeRow[]) => IntakeRow,
): IntakeRow[] {
  const from = gridFields.indexOf(at.field);
  const stage: Stage = {
    file: "", delimiter, notUtf8: false, header: null, lines, uses: gridFields.slice(from).map(usedAs),
    defaults: { kind: "", form: "", currency: "" },
  };
  const reading: Reading = { mark: stageMark(stage), pointsMayGroup: false };
  const next = [...rows];
  lines.forEach(({ cells }, i) => {
    const row = next[at.row + i] ?? make(next);
    const laid = valuesOf(cells, stage, reading);
    const touched = stage.uses.slice(0, cells.length).flatMap(({ meaning }) => (meaning === null || meaning === "size" ? [] : [meaning]));
    const values: RowValues = { ...row.values, ...Object.fromEntries(touched.map((field) => [field, laid.values[field]])) };
    const kept = Object.fromEntries(Object.entries(row.doubts).filter(([name]) => !(touched as string[]).includes(name)));
    next[at.row + i] = { ...row, values, doubts: { ...kept, ...laid.doubts }, untouched: false };
  });
  return next;
}

/** Gives each row without a code the next free one; `next` answers null when there is none. */
export function withCodes(rows: readonly IntakeRow[], next: (before: readonly IntakeRow[]) => string | null): IntakeRow[] {
  return rows.reduce<IntakeRow[]>((done, row) => {
    const code = row.values.code.trim() === "" && !row.untouched ? next([...done, ...rows.slice(done.length)]) : null;
    return [...done, code === null ? row : { ...row, values: { ...row.values, code } }];
  }, []);
}

