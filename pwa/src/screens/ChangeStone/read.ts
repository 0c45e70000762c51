import { changedFrom, type Begun, type Changed, type OfferState } from "../../domain/intake/change";
import { emptyValues, newRow, type RowField, type RowValues } from "../../domain/intake/rows";
import { ownFields, type PhotoUse } from "../../domain/records";
import { readOne } from "../../store/catalogue";
import { changeStone as say } from "../../words/change-stone";
import { change as sayChange } from "../../words/change";
import type { Start, Values } from "../useDraftForm";

/** How the form's draft holds it: every field by its own name, so that one write never undoes another. */
function valuesOf(begun: Begun): Values {
  const { row, lot_id, offer_state, offer_notes } = changedFrom(begun);
  return { begun, ...row.values, photos: row.photos, lot_id, offer_state, offer_notes };
}

export const readBegun = (values: Values): Begun => values["begun"] as Begun;

export function readChangedStone(values: Values): Changed {
  const { id } = readBegun(values);
  const typed = Object.fromEntries((Object.keys(emptyValues) as RowField[]).map((field) => [field, values[field] ?? ""])) as RowValues;
  return {
    row: { ...newRow(id, typed), photos: values["photos"] as readonly PhotoUse[] },
    lot_id: values["lot_id"] as string,
    offer_state: values["offer_state"] as OfferState | "",
    offer_notes: values["offer_notes"] as string,
  };
}

/** What the form begins with: stone and offer as this phone shows them, also those that still wait here. */
export async function findStone(id: string, currency: string): Promise<Start | { readonly cannot: string }> {
  const [stone, offer] = await Promise.all([readOne("stone", id), readOne("offer", id)]);
  if (stone === null) return { cannot: sayChange.notHere };
  if (stone.record.withdrawn !== null) return { cannot: say.withdrawn };
  const begun: Begun = {
    id,
    stone: ownFields("stone", stone.record),
    base: stone.record.version,
    made_on: stone.record.recorded_at,
    offer: offer === null ? null : { own: ownFields("offer", offer.record), base: offer.record.version, made_on: offer.record.recorded_at },
    currency,
  };
  return { record_id: id, values: valuesOf(begun) };
}

/** Where the two records stand now, and what the service said of them. */
export async function readFate(id: string) {
  const [stone, offer] = await Promise.all([readOne("stone", id), readOne("offer", id)]);
  return { stone, offer };
}
export type Fate = Awaited<ReturnType<typeof readFate>>;
