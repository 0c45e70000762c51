/** The table that a dealer fills in elsewhere: its columns, and one line as an example. Pure. */

import type { RowField } from "./rows";

/** Header and example of each column. The stone is invented. */
export const templateColumns: readonly { readonly field: RowField; readonly header: string; readonly example: string }[] = [
  { field: "code", header: "code", example: "N-001" },
  { field: "kind", header: "kind", example: "slate" },
  { field: "form", header: "form", example: "bench" },
  { field: "length_mm", header: "length_mm", example: "205" },
  { field: "width_mm", header: "width_mm", example: "75" },
  { field: "thickness_mm", header: "thickness_mm", example: "25.5" },
  { field: "mass_g", header: "mass_g", example: "1040" },
  { field: "colour", header: "colour", example: "grey green" },
  { field: "sides_sealed", header: "sides_sealed", example: "no" },
  { field: "mark_front", header: "front_mark", example: "" },
  { field: "mark_back", header: "back_mark", example: "stamp" },
  { field: "cost", header: "cost", example: "20.00" },
  { field: "price", header: "price", example: "65.00" },
  { field: "currency", header: "currency", example: "EUR" },
  { field: "notes", header: "notes", example: "Example line: replace it. Text with a comma stands in quotation marks." },
];

const quoted = (cell: string): string => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

/** As a file (RFC 4180), with a byte order mark, without which some spreadsheets take UTF-8 for something else. */
export const templateCsv = (): string =>
  `\ufeff${[templateColumns.map(({ header }) => header), templateColumns.map(({ example }) => example)]
    .map((cells) => cells.map(quoted).join(","))
    .join("\r\n")}\r\n`;
