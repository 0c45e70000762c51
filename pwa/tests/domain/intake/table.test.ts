import { describe, expect, it } from "vitest";
import { decode, readTable } from "../../../src/domain/intake/table";

const cells = (text: string) => {
  const read = readTable(text);
  return read.kind === "table" ? read.lines.map((line) => line.cells) : read.kind;
};

describe("comma-separated values (RFC 4180, section 2)", () => {
  it.each<[string, string, string[][] | string]>([
    ["1: each record on its own line, ended by CRLF", "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]],
    ["2: the last record may lack the line break", "aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]],
    ["3: a header line looks like the others", "field_name,field_name,field_name\r\naaa,bbb,ccc\r\n", [["field_name", "field_name", "field_name"], ["aaa", "bbb", "ccc"]]],
    ["5: fields may be quoted", '"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]],
    ["6: a quoted field may hold a line break (every kind is read as one)", '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\nbb", "ccc"], ["zzz", "yyy", "xxx"]]],
    ["6: and commas", '"aaa","b,bb","ccc"', [["aaa", "b,bb", "ccc"]]],
    ["7: a quotation mark is doubled", '"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]],
  ])("%s", (_claim, text, expected) => {
    expect(cells(text)).toEqual(expected);
  });
});

describe("what spreadsheets write besides (common practice, no source)", () => {
  it.each<[string, string, string[][] | string]>([
    ["a byte order mark", "\ufeffcode,length\nN-1,205", [["code", "length"], ["N-1", "205"]]],
    ["semicolons, with decimal commas", "code;length\nN-1;205,5", [["code", "length"], ["N-1", "205,5"]]],
    ["tabs, as a spreadsheet copies", "N-1\tslate\t205,5\nN-2\tchert\t200", [["N-1", "slate", "205,5"], ["N-2", "chert", "200"]]],
    ["a line that names the delimiter", "sep=;\r\ncode;size\r\nN-1;a,b,c,d\r\n", [["code", "size"], ["N-1", "a,b,c,d"]]],
    ["blank lines", "code,length\n\n,\nN-1,205\n\n", [["code", "length"], ["N-1", "205"]]],
    ["line breaks of three systems in one file", "a,b\rc,d\ne,f\r\ng,h", [["a", "b"], ["c", "d"], ["e", "f"], ["g", "h"]]],
    ["nothing", " \n\n", "empty"],
    ["a single column", "code\nN-1\nN-2", [["code"], ["N-1"], ["N-2"]]],
    ["a comma inside quotation marks does not part columns", '"a, b";c\n"d, e, f";g', [["a, b", "c"], ["d, e, f", "g"]]],
  ])("%s", (_claim, text, expected) => {
    expect(cells(text)).toEqual(expected);
  });

  it("names lines as an editor counts them, over line breaks in cells, blank lines and a named delimiter", () => {
    const text = 'sep=,\ncode,notes\nN-1,"two\nlines"\n\nN-2,plain\n"N-3","one ""quoted"""\nN-4,';
    const read = readTable(text);
    expect(read.kind === "table" && read.lines.map((line) => [line.line, line.cells[0]])).toEqual([[2, "code"], [3, "N-1"], [6, "N-2"], [7, "N-3"], [8, "N-4"]]);
  });

  it("counts lines without quotation marks too", () => {
    const read = readTable("code,length\nN-1,1\n\n\nN-2,2\n");
    expect(read.kind === "table" && read.lines.map((line) => line.line)).toEqual([1, 2, 5]);
  });

  it("says where a quotation mark is opened and never closed, rather than swallowing the rest", () => {
    expect(readTable('code,notes\nN-1,fine\nN-2,"8 inch\nN-3,fine\n')).toEqual({ kind: "open_quote", line: 3 });
  });
});

describe("the bytes of a file", () => {
  const bytes = (...values: number[]) => new Uint8Array(values).buffer;
  it.each<[string, ArrayBuffer, string, string]>([
    ["UTF-8 (RFC 3629)", new TextEncoder().encode("Größe").buffer, "Größe", "utf-8"],
    ["UTF-8 with its mark EF BB BF", bytes(0xef, 0xbb, 0xbf, 0x61), "a", "utf-8"],
    ["UTF-16 with its mark FF FE", bytes(0xff, 0xfe, 0x61, 0x00, 0xe9, 0x00), "aé", "utf-16"],
    ["UTF-16 with its mark FE FF", bytes(0xfe, 0xff, 0x00, 0x61, 0x00, 0xe9), "aé", "utf-16"],
    ["neither: E9 is é in windows-1252 (WHATWG Encoding)", bytes(0x61, 0xe9), "aé", "windows-1252"],
  ])("%s", (_claim, given, text, encoding) => {
    expect(decode(given)).toEqual({ text, encoding });
  });
});
