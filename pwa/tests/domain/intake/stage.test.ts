import { describe, expect, it } from "vitest";
import { readHeader, type ColumnMeaning } from "../../../src/domain/intake/columns";
import { checkRows, newRow, emptyValues, offerOf, repeated, stoneOf, withValue, type IntakeRow, type KnownCode, type RowField } from "../../../src/domain/intake/rows";
import { missingColumns, pasted, reassigned, stagedRows, stageOf, withCodes, withUnit, type Stage } from "../../../src/domain/intake/stage";
import { readTable } from "../../../src/domain/intake/table";

const defaults = { kind: "", form: "", currency: "EUR" };
const stage = (text: string, more: Partial<Stage["defaults"]> = {}): Stage => {
  const read = readTable(text);
  if (read.kind !== "table") throw new Error(read.kind);
  return stageOf({ file: "lot.csv", notUtf8: false, delimiter: read.delimiter, lines: read.lines, defaults: { ...defaults, ...more } });
};
const rows = (text: string, more: Partial<Stage["defaults"]> = {}) => stagedRows(stage(text, more), (line) => `id-${line}`);
const troubles = (all: readonly IntakeRow[], known: ReadonlyMap<string, KnownCode> = new Map()) =>
  checkRows(all, known).map((checked) => checked.troubles.map(({ field, kind }) => `${field}: ${kind}`));
const sound = (more: Partial<Record<RowField, string>> = {}): IntakeRow =>
  newRow("id-1", { ...emptyValues, code: "N-1", kind: "slate", form: "bench", length_mm: "205", width_mm: "75", thickness_mm: "25", ...more });

describe("columns by their header (house rules)", () => {
  it.each<[string, ColumnMeaning, string | null]>([
    ["length_mm", "length_mm", "mm"],
    ["Length (mm)", "length_mm", "mm"],
    ["length cm", "length_mm", "cm"],
    ["Length in", "length_mm", "in"],
    ["length in mm", "length_mm", "mm"],
    ['Width "', "width_mm", "in"],
    ["L", "length_mm", "mm"],
    ["THICKNESS [Inches]", "thickness_mm", "in"],
    ["Weight (kg)", "mass_g", "kg"],
    ["mass_g", "mass_g", "g"],
    ["Stone code", "code", null],
    ["Size (cm)", "size", "cm"],
    ["Colour", "colour", null],
    ["Sides sealed", "sides_sealed", null],
    ["weight (mm)", null, null],
    ["supplier", null, null],
    ["", null, null],
  ])("%j means %s in %s", (header, meaning, unit) => {
    const use = readHeader(header);
    expect([use.meaning, use.unit]).toEqual([meaning, unit]);
  });

  it("reads a currency (ISO 4217) beside cost and price", () => {
    expect(["Cost EUR", "price_usd", "Price (€)", "Price", "Price list"].map((header) => [readHeader(header).meaning, readHeader(header).currency])).toEqual([
      ["cost", "EUR"], ["price", "USD"], ["price", "EUR"], ["price", null], [null, null],
    ]);
  });
});

describe("a table's lines as stones", () => {
  it("takes units from the header alone: 8 in are 203.2 mm (yard and pound agreement of 1959), 20.5 cm are 205 mm", () => {
    const [one] = rows("code,kind,form,length in,width (cm),thickness_mm,weight kg\nN-1,Slate,Bench stone,8,7.5,25,1.14");
    expect(one && [one.values.length_mm, one.values.width_mm, one.values.thickness_mm, one.values.mass_g, one.values.kind, one.values.form]).toEqual([
      "203.2", "75", "25", "1140", "slate", "bench",
    ]);
    expect(troubles(one ? [one] : [])).toEqual([[]]);
  });

  it("reads decimal commas and grouped thousands by what the file shows", () => {
    const [one] = rows("code;kind;form;length;width;thickness;mass;price EUR\nN-1;garnet slate;hand;205,5;75;25,25;1.140;1.250,00");
    expect(one && [one.values.length_mm, one.values.thickness_mm, one.values.mass_g, one.values.price, one.values.currency, one.values.kind]).toEqual([
      "205.5", "25.25", "1140", "1250", "EUR", "garnet_slate",
    ]);
  });

  it("asks about a figure that the file leaves open, until it is typed anew", () => {
    const [one] = rows('code,kind,form,length,width,thickness,mass\nN-1,slate,bench,205,75,25,"1,140"');
    if (one === undefined) throw new Error("no row");
    expect(troubles([one])).toEqual([["mass_g: ambiguous"]]);
    expect(troubles([withValue(one, "mass_g", "1140")])).toEqual([[]]);
  });

  it("names every fault of a line, and keeps the line", () => {
    const all = rows([
      "code,kind,form,length,width,thickness,mass,currency,price",
      "N-1,slate,bench,205,75,25,1010,EUR,60",
      "N 2,slate,bench,205,75,25,1010,EUR,60",
      "N-3,basalt,brick,205 mm,7.5 cm,,about 1 kg,euro,60",
      "N-4,slate,bench,2050,75,25,1010,EUR,60,left over",
      "n-1,slate,bench,205,75,25,1010,EUR,60",
    ].join("\n"));
    expect(troubles(all)).toEqual([
      [],
      ["code: bad_code"],
      ["kind: unknown_word", "form: unknown_word", "width_mm: other_unit", "thickness_mm: missing", "mass_g: not_a_number", "currency: bad_currency"],
      ["length_mm: out_of_range", "null: extra_cells"],
      ["code: twice"],
    ]);
    expect(all.map((row) => row.from?.line)).toEqual([2, 3, 4, 5, 6]);
    expect(all[2]?.values.mass_g).toBe("about 1 kg");
  });

  it("names codes that the club has, and minds withdrawn ones only with a remark", () => {
    const known = new Map<string, KnownCode>([
      ["n1", { code: "N-1", state: "here" }], ["n2", { code: "N-2", state: "waiting" }], ["n3", { code: "N-3", state: "withdrawn" }],
    ]);
    const all = rows("code,kind,form,length,width,thickness\nN-1,slate,bench,205,75,25\nN2,slate,bench,205,75,25\nN-3,slate,bench,205,75,25");
    const checked = checkRows(all, known);
    expect(checked.map((one) => one.troubles[0] ?? null)).toEqual([
      { field: "code", kind: "taken", by: "N-1", waiting: false }, { field: "code", kind: "taken", by: "N-2", waiting: true }, null,
    ]);
    expect(checked[2]?.remarks).toEqual([{ field: "code", kind: "withdrawn_code", by: "N-3" }]);
  });

  it("splits a size in one cell", () => {
    const [one, two] = rows("code,kind,form,size cm\nN-1,slate,bench,20.5 x 7.5 × 2.5\nN-2,slate,bench,20.5 x 7.5");
    expect(one && [one.values.length_mm, one.values.width_mm, one.values.thickness_mm]).toEqual(["205", "75", "25"]);
    expect(troubles(two ? [two] : [])[0]).toContain("length_mm: no_size");
  });

  it("takes stamps, skin and sealed sides as people write them", () => {
    const all = rows("code,kind,form,l,w,t,sealed,stamp,back mark\nA1,slate,bench,205,75,25,yes,x,natural skin\nA2,slate,bench,205,75,25,no,,stamp and skin\nA3,slate,bench,205,75,25,maybe,,");
    expect(all.map(({ values }) => [values.sides_sealed, values.mark_front, values.mark_back])).toEqual([
      ["yes", "stamp", "natural_skin"], ["", "", "both"], ["maybe", "", ""],
    ]);
    expect(troubles(all)).toEqual([[], [], ["sides_sealed: unknown_word"]]);
  });

  it("without a header takes the order of the grid, and any column can be given another meaning and unit", () => {
    const plain = stage("N-1\tslate\tbench\t205\t75\t25\nN-2\tslate\tbench\t8\t3\t1");
    expect(plain.header).toBeNull();
    expect(plain.uses.map((use) => use.meaning)).toEqual(["code", "kind", "form", "length_mm", "width_mm", "thickness_mm"]);
    const turned = withUnit(reassigned(plain, 3, "thickness_mm"), 3, "cm");
    expect(turned.uses.map((use) => [use.meaning, use.unit])).toEqual([
      ["code", null], ["kind", null], ["form", null], ["thickness_mm", "cm"], ["width_mm", "mm"], [null, null],
    ]);
    expect(missingColumns(turned)).toEqual(["length_mm"]);
  });

  it("asks once for a kind and a form that no column names", () => {
    const bare = stage("code,l,w,t\nN-1,205,75,25");
    expect(missingColumns(bare)).toEqual(["kind", "form"]);
    const told = { ...bare, defaults: { kind: "slate", form: "bench", currency: "EUR" } };
    expect([missingColumns(told), troubles(stagedRows(told, String))]).toEqual([[], [[]]]);
  });
});

describe("rows of the grid", () => {
  it("lays pasted cells over the grid from a place on and makes the rows that are missing", () => {
    const read = readTable("205\t75\n200\t70");
    if (read.kind !== "table") throw new Error(read.kind);
    let made = 0;
    const next = pasted([sound({ length_mm: "1", mass_g: "900" })], { row: 0, field: "length_mm" }, read.lines, read.delimiter, (before) =>
      newRow(`made-${++made}`, { ...repeated(before.at(-1)?.values ?? emptyValues), code: "N-2" }));
    expect(next.map(({ id, values }) => [id, values.code, values.kind, values.length_mm, values.width_mm, values.mass_g])).toEqual([
      ["id-1", "N-1", "slate", "205", "75", "900"], ["made-1", "N-2", "slate", "200", "70", ""],
    ]);
  });

  it("a row nobody has touched is no stone, and one that is left out does not hold its code", () => {
    const first = sound();
    const again = { ...sound(), id: "id-2" };
    expect(troubles([newRow("x", { ...emptyValues, code: "N-1" }, { untouched: true })])).toEqual([[]]);
    expect(troubles([first, again])).toEqual([[], ["code: twice"]]);
    expect(troubles([{ ...first, left_out: true }, again])).toEqual([[], []]);
  });

  it("gives rows without a code the next free ones, in order", () => {
    let n = 0;
    const filled = withCodes([sound({ code: "" }), sound(), { ...sound({ code: "" }), id: "id-3" }], () => `K-${++n}`);
    expect(filled.map((row) => row.values.code)).toEqual(["K-1", "N-1", "K-2"]);
  });

  it("shows the density at once: a 205 × 75 × 25 mm block of 960 g has 2.49756 g/cm³ (EN 1936, worked by hand)", () => {
    const [checked] = checkRows([sound({ mass_g: "960" })], new Map());
    expect(checked?.density).toBeCloseTo(2.49756, 5);
    expect(checked?.remarks).toEqual([]);
  });

  it.each<[string, Partial<Record<RowField, string>>, string[]]>([
    ["a digit too many", { mass_g: "9600" }, ["density"]],
    ["a digit too few", { mass_g: "96" }, ["density"]],
    ["figures of the thickness swapped", { mass_g: "960", thickness_mm: "52" }, ["density"]],
    ["nothing said of an irregular stone, whose sizes make no volume", { mass_g: "400", form: "irregular" }, []],
    ["length and width swapped", { length_mm: "75", width_mm: "205" }, ["wider_than_long"]],
  ])("remarks on likely slips (common practice, no source): %s", (_claim, values, expected) => {
    expect(checkRows([sound(values)], new Map())[0]?.remarks.map(({ kind }) => kind)).toEqual(expected);
  });

  it("makes the stone and its offer; a comma is a decimal sign when typed", () => {
    const row = sound({ mass_g: "1010,5", colour: " grey ", sides_sealed: "yes", mark_front: "both", cost: "20", currency: "EUR", notes: "box 3" });
    expect(stoneOf(row, "lot-1")).toEqual({
      code: "N-1", lot_id: "lot-1", kind: "slate", form: "bench", length_mm: 205, width_mm: 75, thickness_mm: 25, mass_g: 1010.5,
      colour: "grey", sides_sealed: true, photos: [], notes: "box 3",
      marks: [{ face: "front", kind: "stamp", notes: "" }, { face: "front", kind: "natural_skin", notes: "" }],
    });
    expect(offerOf(row)).toEqual({ stone_id: "id-1", state: "for_sale", cost: 20, price: null, currency: "EUR", notes: "" });
    expect(offerOf(sound())).toBeNull();
    expect(troubles([sound({ cost: "20" })])).toEqual([["currency: missing"]]);
  });
});
