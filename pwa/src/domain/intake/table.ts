/** Text from a file or the clipboard to rows of cells. Pure; the reader of CSV (RFC 4180) is papaparse. */

import Papa from "papaparse";

export interface Line {
  /** As an editor counts: a cell with a line break in it takes several. */
  readonly line: number;
  readonly cells: readonly string[];
}

export type TableRead =
  | { readonly kind: "table"; readonly lines: readonly Line[]; readonly delimiter: string }
  | { readonly kind: "empty" }
  /** A quotation mark is opened at this line and never closed: everything after it would be one cell. */
  | { readonly kind: "open_quote"; readonly line: number };

/** How the bytes of a file were understood. */
export interface Decoded {
  readonly text: string;
  readonly encoding: "utf-8" | "utf-16" | "windows-1252";
}

/** UTF-8 with or without a byte order mark, UTF-16 with one (Unicode 15, 23.8); what is neither is taken for Windows' western set. */
export function decode(bytes: ArrayBuffer): Decoded {
  const [first, second] = new Uint8Array(bytes.slice(0, 2));
  if (first === 0xff && second === 0xfe) return { text: new TextDecoder("utf-16le").decode(bytes), encoding: "utf-16" };
  if (first === 0xfe && second === 0xff) return { text: new TextDecoder("utf-16be").decode(bytes), encoding: "utf-16" };
  try {
    return { text: new TextDecoder("utf-8", { fatal: true }).decode(bytes), encoding: "utf-8" };
  } catch {
    return { text: new TextDecoder("windows-1252").decode(bytes), encoding: "windows-1252" };
  }
}

const delimiters = ["\t", ";", ",", "|"] as const;

/**
 * What parts the columns, told by the first line, where no decimal comma stands: the sign that occurs most often outside
 * quotation marks. A single column has none, and a comma does no harm then.
 */
function delimiterOf(text: string): string {
  const counts = new Map<string, number>();
  let quoted = false;
  for (const sign of text) {
    if (sign === '"') quoted = !quoted;
    else if (!quoted && (sign === "\n" || sign === "\r")) {
      if (counts.size > 0) break;
    } else if (!quoted && (delimiters as readonly string[]).includes(sign)) counts.set(sign, (counts.get(sign) ?? 0) + 1);
  }
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  return most?.[0] ?? ",";
}

const isBlank = (cells: readonly string[]): boolean => cells.every((cell) => cell.trim() === "");

/**
 * Reads text as a table. Line breaks of every system are taken for the same, also inside a cell. Blank lines are passed by; so is a first line "sep=;", by which
 * spreadsheets name the delimiter.
 */
export function readTable(text: string): TableRead {
  const plain = text.replace(/^\ufeff/, "").replaceAll(/\r\n?/g, "\n");
  const named = /^sep=(.)\n/i.exec(plain);
  const body = named === null ? plain : plain.slice(named[0].length);
  const delimiter = named?.[1] ?? delimiterOf(body);
  const lines: Line[] = [];
  let start = 0;
  let line = named === null ? 1 : 2;
  const openQuotes: number[] = [];
  Papa.parse<string[]>(body, {
    delimiter,
    newline: "\n",
    step: ({ data, errors, meta }) => {
      if (errors.some((error) => error.code === "MissingQuotes")) openQuotes.push(line);
      if (!isBlank(data)) lines.push({ line, cells: data.map((cell) => cell.trim()) });
      // The cursor stands behind the row; line breaks in between count, also those inside a cell.
      line += body.slice(start, meta.cursor).match(/\n/g)?.length ?? 0;
      start = meta.cursor;
    },
  });
  const [openQuote] = openQuotes;
  if (openQuote !== undefined) return { kind: "open_quote", line: openQuote };
  return lines.length === 0 ? { kind: "empty" } : { kind: "table", lines, delimiter };
}
