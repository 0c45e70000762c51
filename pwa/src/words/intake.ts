/** Taking in a lot: many stones at a desk or one after another on a phone. */
import type { ColumnMeaning } from "../domain/intake/columns";
import type { Remark, RowField, Trouble } from "../domain/intake/rows";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);
const stones = (n: number): string => many(n, "stone", "stones");

export const fieldNames: Readonly<Record<RowField, string>> = {
  code: "Code", kind: "Kind", form: "Form", length_mm: "Length", width_mm: "Width", thickness_mm: "Thickness", mass_g: "Mass",
  colour: "Colour", sides_sealed: "Sides sealed", mark_front: "Mark on front", mark_back: "Mark on back", cost: "Cost",
  price: "Price", currency: "Currency", notes: "Notes",
};

export const markWords: Readonly<Record<string, string>> = { "": "none", stamp: "stamp", natural_skin: "natural skin", both: "stamp and skin" };

const choices: Readonly<Partial<Record<RowField, string>>> = {
  kind: "Choose slate, novaculite, schist, sandstone, siltstone, garnet slate, chert or other.",
  form: "Choose bench, hand, finger or irregular.",
  sides_sealed: "Write yes or no.",
  mark_front: "Write stamp, natural skin, both, or leave it empty.",
  mark_back: "Write stamp, natural skin, both, or leave it empty.",
};

const rowName = (row: number, line: number | null): string => (line === null ? `row ${row}` : `line ${line}`);

/** What is wrong with a cell, and what to do. */
export function troubleWords(trouble: Trouble, text: string): string {
  switch (trouble.kind) {
    case "missing": return "is missing. Fill it in.";
    case "not_a_number": return `“${text}” is not a number. Write figures only, such as 205 or 25.5.`;
    case "ambiguous": return `“${text}” can be read in two ways. Write it without marks between thousands.`;
    case "other_unit": return `“${text}” has another unit than its column. Write the number in ${trouble.wanted}.`;
    case "no_size": return `“${text}” is not a size. Write length × width × thickness, such as 205 × 75 × 25.`;
    case "out_of_range": return `“${text}” is outside ${trouble.low} to ${trouble.high}${trouble.unit === "" ? "" : ` ${trouble.unit}`}. Check figure and unit.`;
    case "too_long": return `has ${trouble.is} characters, and ${trouble.most} fit. Shorten it.`;
    case "bad_code": return `“${text}” cannot be a code. Use letters, digits and . _ / - only, at most 20.`;
    case "bad_currency": return `“${text}” is no currency. Write three capital letters, such as EUR.`;
    case "unknown_word": return `“${text}” is not known here. ${choices[trouble.field] ?? ""}`;
    case "twice": return `“${text}” stands in ${rowName(trouble.row, trouble.line)} already. Give one of the two another code, or leave one out.`;
    case "taken": {
      const by = trouble.by === text ? "a stone" : trouble.by;
      return `“${text}” is taken by ${by} ${trouble.waiting ? "that waits on this device" : "of your club"}. Give another code, or leave the row out if it is that stone.`;
    }
    case "extra_cells": return `${many(trouble.n, "cell", "cells")} more than there are columns. Text with a comma in it needs quotation marks.`;
  }
}

export function remarkWords(remark: Remark): string {
  switch (remark.kind) {
    case "density": return `${remark.g_cm3.toFixed(2)} g/cm³ is outside ${remark.low} to ${remark.high}, where whetstones lie. Is a size or the mass mistyped?`;
    case "wider_than_long": return "The width is larger than the length. Are the two swapped?";
    case "withdrawn_code": return `A withdrawn stone had the code ${remark.by}. Its label may still be about.`;
  }
}

export const intake = {
  title: "Take in stones",
  back: "Stones",
  link: "Take in stones",
  reading: "Reading your lots…",
  notForYou: "Stones are taken in by dealers and stewards.",
  kept: "Everything you type is kept on this device until you take the stones in.",
  trouble: (why: string): string => `Your last change was not kept: ${why}`,

  lot: "Lot",
  chooseLot: "Choose a lot",
  newLot: "A new lot",
  lotFirst: "Choose the lot the stones came in with, or make a new one.",
  lotCode: "Lot code",
  lotName: "Lot name",
  quarry: "Quarry",
  received: "Received on",
  lotNotes: "Notes on the lot",
  lotTrouble: {
    code_missing: "The lot needs a code.",
    code_bad: "The lot's code may have letters, digits and . _ / - only, at most 20.",
    code_taken: "Another lot has this code. Choose another.",
    name_missing: "The lot needs a name.",
    name_long: "The lot's name may have 120 characters.",
    date_bad: "The day it was received cannot be read. Choose it again.",
  },
  inLot: (n: number): string => `${stones(n)} in this lot.`,
  labelsOfLot: (n: number): string => `Print labels for ${n === 1 ? "its stone" : `its ${n} stones`}`,

  many: "From a spreadsheet",
  manyLead: "Copy rows in your spreadsheet and paste them into the grid or into the box below, or read a CSV file. You see what was understood before anything is taken in.",
  file: "Read a CSV file",
  pasteBox: "Or paste rows here",
  template: "Template to fill in (CSV)",
  columnsHelp: "What the columns mean",
  columnsTable: "Columns of the table",
  column: "Column",
  meaning: "What it holds",
  columnNotes: {
    code: "Up to 20 letters, digits and . _ / -. Empty: you can have the next free codes filled in.",
    kind: "slate, novaculite, schist, sandstone, siltstone, garnet slate, chert or other.",
    form: "bench, hand, finger or irregular.",
    length_mm: "Longest side. In mm; a header such as “length cm” or “length in” says otherwise.",
    width_mm: "As length. Or one column “size” with 205 × 75 × 25.",
    thickness_mm: "As length.",
    mass_g: "In g; a header such as “mass kg”, “weight oz” or “weight lb” says otherwise. May stay empty.",
    colour: "In your words.",
    sides_sealed: "yes or no.",
    mark_front: "stamp, natural skin or both, if the front bears one.",
    mark_back: "The same for the back.",
    cost: "What you paid. Dealers and stewards alone see it.",
    price: "What you ask.",
    currency: "Three letters, such as EUR. Or in the header: “price EUR”.",
    notes: "Anything else.",
  } satisfies Readonly<Record<RowField, string>>,
  fileTrouble: {
    empty: "There is nothing in it. Choose a file with a line for each stone.",
    open_quote: (line: number): string => `The quotation mark opened in line ${line} is never closed. Close it in your spreadsheet, or take it out, and read the file again.`,
    too_large: "The file is larger than 5 MB, which is no list of stones. Choose another.",
    unread: (why: string): string => `The file could not be read: ${why}`,
    too_many: (n: number, most: number): string => `${n} lines are more than the ${most} taken at once. Split the table.`,
  },

  stageTitle: (file: string): string => (file === "" ? "Pasted rows" : file),
  stageLead: (n: number, header: boolean): string =>
    `${many(n, "line", "lines")} below ${header ? "the header" : "no header: columns are taken in the order of the grid"}. Nothing is taken in yet.`,
  notUtf8: "The file is not in UTF-8 and was read as Windows text. Check letters with accents.",
  mark: { comma: "A comma is its decimal sign.", point: "A point is its decimal sign." },
  holds: (header: string): string => `“${header}” holds`,
  nth: (n: number): string => `Column ${n}`,
  unit: (header: string): string => `Unit of “${header}”`,
  leftColumn: "not taken in",
  meanings: { ...fieldNames, size: "Size (length × width × thickness)" } satisfies Readonly<Record<Exclude<ColumnMeaning, null>, string>>,
  forAll: "For lines that do not say",
  choose: "Choose",
  missingColumns: (fields: readonly RowField[]): string => `Say which column holds: ${fields.map((field) => fieldNames[field].toLowerCase()).join(", ")}.`,
  understood: "The first stones as understood",
  previewGood: (n: number): string => `All ${stones(n)} are good.`,
  previewBad: (bad: number, all: number): string => `${bad} of ${many(all, "line needs", "lines need")} mending:`,
  previewNext: "They come into the grid with the others, marked, where you mend them or leave them out. Until every stone is good, none is taken in.",
  intoGrid: (n: number): string => `Put ${stones(n)} into the grid`,
  putAway: "Put it away",

  grid: "Stones to take in",
  gridHelp: "Enter and the arrow keys go from row to row, Tab from cell to cell. A new row repeats kind, form, sealing and currency. Esc leaves the grid.",
  row: "Row",
  density: "Density",
  photos: "Photos",
  cell: (field: string, row: number): string => `${field}, row ${row}`,
  rowState: { bad: "needs mending", out: "left out", doubt: "look again" },
  addRow: "Add a stone",
  fillCodes: (n: number): string => `Give ${n === 1 ? "the row without a code" : `${n} rows without a code`} the next free one`,
  undo: (what: string): string => `Undo: ${what}`,
  done: { paste: "paste", stage: "reading the table", remove: "removing", fill: "filling in codes", out: "leaving out" },
  densityIs: (value: number): string => `${value.toFixed(2)} g/cm³`,
  noDensity: "No density without all sizes and the mass.",
  noDensityIrregular: "An irregular stone's sizes make no volume, so no density.",

  stoneOf: (n: number, all: number): string => `Stone ${n} of ${all}`,
  more: "Colour, marks, price and notes",
  previous: "Back",
  next: "Next stone",
  all: (n: number): string => `All ${stones(n)}`,
  fromLine: (file: string, line: number): string => (file === "" ? `pasted, line ${line}` : `${file}, line ${line}`),
  leaveOut: "Leave it out",
  leaveAllOut: (n: number): string => `Leave all ${n} out`,
  putBack: "Put it back in",
  remove: "Remove it",
  asItIs: "It is right as it is",
  yes: "Yes",
  no: "No",

  badTitle: (n: number): string => `${many(n, "stone needs", "stones need")} mending`,
  badLead: "None of the stones is taken in before these are mended or left out.",
  outTitle: (n: number): string => `${many(n, "row is", "rows are")} left out`,
  outLead: "They stay here when the others are taken in.",
  mend: "Mend it",
  giveCode: (code: string): string => `Call it ${code}`,
  lotIs: (code: string, name: string): string => `New lot ${code}, ${name}`,
  showMore: (n: number): string => `Show the other ${n}`,
  nameOf: (row: number, code: string, from: { readonly line: number } | null): string =>
    [from === null ? `Row ${row}` : `Line ${from.line}`, code === "" ? "no code" : code].join(", "),

  take: (n: number): string => `Take in ${stones(n)}`,
  nothingYet: "Nothing to take in yet",
  mendFirst: (n: number): string => `${many(n, "stone needs", "stones need")} mending first`,
  lotNeeds: "The lot needs a code and a name",

  takenTitle: (n: number, lot: string): string => `${stones(n)} taken in, lot ${lot}`,
  takenWait: (n: number): string => `${many(n, "record waits", "records wait")} on this device and go out by themselves. Labels can be printed once they are out.`,
  takenOut: "All of them are on the service.",
  takenNeeds: (n: number): string => `The service did not take ${many(n, "record", "records")}. See on your bench why.`,
  left: (n: number): string => `${many(n, "row was", "rows were")} left out and stay below.`,
  printLabels: "Print labels",
  seeStones: "See the stones",
  takeMore: "Take in more",
  undoTitle: "Taken in by mistake?",
  undoAll: (n: number): string => `Withdraw ${n === 1 ? "this stone" : `these ${n} stones`}`,
  undoWhy: "Why are they withdrawn?",
  undoHelp: "They stay readable, marked as withdrawn with your reason. Stones that were not sent yet are set aside.",
  undoNeedsReason: "Write the reason first.",
  undone: (n: number): string => `${stones(n)} withdrawn.`,
  cancel: "Keep them",
};
