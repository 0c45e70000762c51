/** A stone that is there already, in the fields of an intake and back. Pure. */

import type { Mark, Offer, OwnFields, PhotoUse, PhotoView, Stone } from "../records";
import { sameJson } from "../same";
import { emptyValues, figureOf, newRow, stoneOf, type IntakeRow, type RowField, type RowValues } from "./rows";

type OwnStone = OwnFields<"stone">;
type OwnOffer = OwnFields<"offer">;
export type OfferState = Offer["state"];

const figure = (value: number | null): string => (value === null ? "" : String(value));

function markCell(marks: readonly Mark[], face: Mark["face"]): string {
  const has = (kind: Mark["kind"]): boolean => marks.some((mark) => mark.face === face && mark.kind === kind);
  return has("stamp") ? (has("natural_skin") ? "both" : "stamp") : has("natural_skin") ? "natural_skin" : "";
}

/** The stone and what is asked for it, as the fields of a row hold them. */
function valuesOf(stone: OwnStone, offer: OwnOffer | null, currency: string): RowValues {
  return {
    ...emptyValues,
    code: stone.code, kind: stone.kind, form: stone.form,
    length_mm: figure(stone.length_mm), width_mm: figure(stone.width_mm), thickness_mm: figure(stone.thickness_mm),
    mass_g: figure(stone.mass_g), colour: stone.colour, sides_sealed: stone.sides_sealed ? "yes" : "",
    mark_front: markCell(stone.marks, "front"), mark_back: markCell(stone.marks, "back"), notes: stone.notes,
    cost: figure(offer?.cost ?? null), price: figure(offer?.price ?? null), currency: offer?.currency ?? currency,
  };
}

/** What a change was begun on: the records as they stood, and which state of them that was. */
export interface Begun {
  readonly id: string;
  readonly stone: OwnStone;
  readonly base: number;
  readonly made_on: string | null;
  readonly offer: { readonly own: OwnOffer; readonly base: number; readonly made_on: string | null } | null;
  /** What an offer is in that is made anew. */
  readonly currency: string;
}

/** What a form of a stone holds. An offer's state is empty as long as there is none. */
export interface Changed {
  readonly row: IntakeRow;
  readonly lot_id: string;
  readonly offer_state: OfferState | "";
  readonly offer_notes: string;
}

export function changedFrom({ id, stone, offer, currency }: Begun): Changed {
  return {
    row: { ...newRow(id, valuesOf(stone, offer?.own ?? null, currency)), photos: stone.photos },
    lot_id: stone.lot_id, offer_state: offer?.own.state ?? "", offer_notes: offer?.own.notes ?? "",
  };
}

/** Marks of a face whose cell was left alone stay as they are, with their notes; so do those that the new word still names. */
function marksAfter(before: readonly Mark[], cells: { readonly was: RowValues; readonly is: RowValues }, typed: readonly Mark[]): readonly Mark[] {
  const isTouched = ({ face }: Mark): boolean => cells.was[`mark_${face}`] !== cells.is[`mark_${face}`];
  const isLike = (one: Mark, other: Mark): boolean => one.face === other.face && one.kind === other.kind;
  const stay = before.filter((mark) => !isTouched(mark) || typed.some((one) => isLike(one, mark)));
  const fresh = typed.filter((mark) => isTouched(mark) && !before.some((one) => isLike(one, mark)));
  return [...stay, ...fresh];
}

const cells: readonly (keyof OwnStone & RowField)[] = [
  "code", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour", "sides_sealed", "notes",
];

/**
 * The stone as it shall be. A field that nobody touched keeps its very value, so that a look at a stone changes no byte
 * of it. The row must be without troubles.
 */
export function stoneAfter(begun: Begun, { row, lot_id }: Changed): OwnStone {
  const was = changedFrom(begun).row.values;
  const typed = stoneOf(row, lot_id);
  const touched = cells.filter((field) => was[field] !== row.values[field]);
  return {
    ...begun.stone,
    ...Object.fromEntries(touched.map((field) => [field, typed[field]])),
    lot_id,
    marks: marksAfter(begun.stone.marks, { was, is: row.values }, typed.marks),
    photos: row.photos,
  };
}

/** The offer as it shall be; null where there is none and nothing of one was given. */
export function offerAfter(begun: Begun, { row, offer_state, offer_notes }: Changed): OwnOffer | null {
  const was = changedFrom(begun);
  const { values } = row;
  const own = begun.offer?.own ?? null;
  const [cost, price] = [figureOf(values.cost), figureOf(values.price)];
  if (own === null && offer_state === "" && cost === null && price === null && offer_notes.trim() === "") return null;
  return {
    ...own,
    stone_id: begun.id,
    state: offer_state === "" ? "for_sale" : offer_state,
    cost: own !== null && was.row.values.cost === values.cost ? own.cost : cost,
    price: own !== null && was.row.values.price === values.price ? own.price : price,
    currency: values.currency.trim() || (own?.currency ?? begun.currency),
    notes: own !== null && was.offer_notes === offer_notes ? own.notes : offer_notes.trim(),
  };
}

/** Which of the two records the change changes; null where it leaves one as it is. */
export function whatChanges(begun: Begun, changed: Changed): { readonly stone: OwnStone | null; readonly offer: OwnOffer | null } {
  const [stone, offer] = [stoneAfter(begun, changed), offerAfter(begun, changed)];
  return {
    stone: sameJson(stone, begun.stone) ? null : stone,
    offer: offer === null || sameJson(offer, begun.offer?.own ?? null) ? null : offer,
  };
}

/** The shown photo of a view replaced or taken away; a stone may have more of one view, and those stay. */
export function withPhoto(photos: readonly PhotoUse[], view: PhotoView, photo: PhotoUse | null): readonly PhotoUse[] {
  const shown = photos.findIndex((one) => one.view === view);
  const fresh = photo === null ? [] : [photo];
  return shown < 0 ? [...photos, ...fresh] : [...photos.slice(0, shown), ...fresh, ...photos.slice(shown + 1)];
}

/** What the service said of a field of this stone, by the field. A taken code and an unknown lot it tells in words alone. */
export function refusedFields(
  problem: { readonly code: string; readonly detail: string; readonly errors: readonly { readonly field: string; readonly message: string }[] },
  stone: Pick<Stone, "code">,
): ReadonlyMap<string, string> {
  const told = new Map(problem.errors.map(({ field, message }) => [field, message]));
  if (problem.code !== "conflict" || told.size > 0) return told;
  if (problem.detail.includes("lot_id")) told.set("lot_id", problem.detail);
  else if (problem.detail.startsWith(stone.code)) told.set("code", problem.detail);
  return told;
}
