import { describe, expect, it } from "vitest";
import {
  changedFrom, offerAfter, refusedFields, stoneAfter, whatChanges, withPhoto, type Begun, type Changed,
} from "../../../src/domain/intake/change";
import { checkRows, withValue, type RowField } from "../../../src/domain/intake/rows";
import type { OwnFields } from "../../../src/domain/records";

// Invented. Everything that the fields of a form cannot show stands in it: notes on marks, two photos of one view,
// blanks at the ends, a size with more figures than anybody types.
const stone: OwnFields<"stone"> = {
  notes: " chipped crate\n", code: "N-017", lot_id: "lot-1", kind: "garnet_slate", form: "hand",
  length_mm: 205.125, width_mm: 75, thickness_mm: 24.4999, mass_g: null, colour: "grey ",
  marks: [
    { face: "back", kind: "stamp", notes: "half ground off" }, { face: "front", kind: "natural_skin", notes: "" },
    { face: "back", kind: "stamp", notes: "a second one" },
  ],
  sides_sealed: true,
  photos: [
    { sha256: "a", view: "front", caption: "dry" }, { sha256: "b", view: "front", caption: "wet" },
    { sha256: "c", view: "back", caption: "", corners: [[0, 0], [9, 0], [9, 4], [0, 4]] },
  ],
};
const offer: OwnFields<"offer"> = { stone_id: "s1", state: "reserved", cost: 20.5, price: null, currency: "CHF", notes: "for a friend " };
const begun: Begun = { id: "s1", stone, base: 3, made_on: null, offer: { own: offer, base: 2, made_on: null }, currency: "EUR" };

function typed(changes: Partial<Record<RowField, string>>, from: Begun = begun, more: Partial<Changed> = {}): Changed {
  const start = changedFrom(from);
  const row = Object.entries(changes).reduce((now, [field, text]) => withValue(now, field as RowField, text), start.row);
  return { ...start, ...more, row };
}

describe("a stone in a form and back", () => {
  it("comes back byte for byte when nobody touched it", () => {
    const untouched = changedFrom(begun);
    expect(checkRows([untouched.row], new Map())[0]?.troubles).toEqual([]);
    expect(JSON.stringify(stoneAfter(begun, untouched))).toBe(JSON.stringify(stone));
    expect(JSON.stringify(offerAfter(begun, untouched))).toBe(JSON.stringify(offer));
    expect(whatChanges(begun, untouched)).toEqual({ stone: null, offer: null });
  });

  it("takes over what was typed, with a decimal comma too, and nothing else", () => {
    expect(stoneAfter(begun, typed({ length_mm: "250,5", mass_g: "980" }))).toEqual({ ...stone, length_mm: 250.5, mass_g: 980 });
    expect(whatChanges(begun, typed({ length_mm: "250,5" })).offer).toBeNull();
  });

  it("changes only the offer when a price is set", () => {
    expect(whatChanges(begun, typed({ price: "90" }))).toEqual({ stone: null, offer: { ...offer, price: 90 } });
  });

  it("sees no change in what was typed and put back", () => {
    expect(whatChanges(begun, typed({ code: "N-018", price: "9" }, begun)).stone).not.toBeNull();
    expect(whatChanges(begun, typed({ code: "N-017", price: "" }, begun))).toEqual({ stone: null, offer: null });
  });

  it("keeps marks with their notes on a face left alone, and those that the new word still names", () => {
    const [first, skin, second] = stone.marks;
    expect(stoneAfter(begun, typed({ mark_front: "" })).marks).toEqual([first, second]);
    expect(stoneAfter(begun, typed({ mark_back: "both" })).marks).toEqual([first, skin, second, { face: "back", kind: "natural_skin", notes: "" }]);
  });

  it("moves to another lot", () => {
    expect(whatChanges(begun, typed({}, begun, { lot_id: "lot-2" }))).toEqual({ stone: { ...stone, lot_id: "lot-2" }, offer: null });
  });

  it("makes an offer where there was none, once something of it is given", () => {
    const none: Begun = { ...begun, offer: null };
    expect(offerAfter(none, changedFrom(none))).toBeNull();
    expect(offerAfter(none, typed({ price: "65,50" }, none))).toEqual({
      stone_id: "s1", state: "for_sale", cost: null, price: 65.5, currency: "EUR", notes: "",
    });
    expect(offerAfter(none, typed({}, none, { offer_state: "kept_back", offer_notes: "cracked " }))?.notes).toBe("cracked");
  });
});

describe("photos of a stone that has two of one view", () => {
  it("replaces or takes away the one that is shown, and leaves the other", () => {
    const fresh = { sha256: "d", view: "front", caption: "" } as const;
    expect(withPhoto(stone.photos, "front", fresh).map(({ sha256 }) => sha256)).toEqual(["d", "b", "c"]);
    expect(withPhoto(stone.photos, "front", null).map(({ sha256 }) => sha256)).toEqual(["b", "c"]);
    expect(withPhoto(stone.photos, "side", { ...fresh, view: "side" }).map(({ sha256 }) => sha256)).toEqual(["a", "b", "c", "d"]);
  });
});

describe("what the service refused", () => {
  // The sentences are those of services/things.py.
  const conflict = (detail: string) => ({ code: "conflict", detail, errors: [] });

  it("stands at its field", () => {
    const taken = "N-017 is taken by another stone. Choose another code.";
    expect([...refusedFields(conflict(taken), stone)]).toEqual([["code", taken]]);
    const lot = "The lot named in lot_id is not in this club. Send that record first.";
    expect([...refusedFields(conflict(lot), stone)]).toEqual([["lot_id", lot]]);
    const errors = [{ field: "mass_g", message: "Too heavy." }];
    expect([...refusedFields({ code: "invalid", detail: "", errors }, stone)]).toEqual([["mass_g", "Too heavy."]]);
  });

  it("stands at none when it is about the stone as a whole", () => {
    expect(refusedFields(conflict("This stone is withdrawn. Start a new one instead."), stone).size).toBe(0);
  });
});
