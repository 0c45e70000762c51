/**
 * What can be done to several stones at once. Each act is worked out before anything is written: to which stones it
 * does what, and which ones it leaves alone, and why. Pure.
 */
import { isPublishing, isSold, keptBackNotes, takenBackNotes, type DeskStone } from "./board";
import type { Assignment, Offer, OwnFields, Purpose } from "./records";

export type OfferAct = "keep_back" | "offer_again" | "reserve" | "sell";

/** Why an act leaves a stone alone; the words are words/desk.ts. */
export type Left =
  | "sold" | "aside" | "needs_repair" | "asked_already" | "has_it" | "kept_back" | "not_kept_back" | "reserved"
  | "priced_so" | "on_its_way" | "not_ready" | "published" | "not_sent";

export interface LeftAlone {
  readonly row: DeskStone;
  readonly why: Left;
}

export interface Act<Body> {
  readonly does: readonly { readonly row: DeskStone; readonly body: Body }[];
  readonly leaves: readonly LeftAlone[];
}

/** Goes through the stones in order; `decide` answers with what to write, or with why nothing is written. */
function work<Body extends object>(rows: readonly DeskStone[], decide: (row: DeskStone) => Body | Left): Act<Body> {
  const does: { row: DeskStone; body: Body }[] = [];
  const leaves: LeftAlone[] = [];
  for (const row of rows) {
    const decided = decide(row);
    if (typeof decided === "string") leaves.push({ row, why: decided });
    else does.push({ row, body: decided });
  }
  return { does, leaves };
}

export interface AskWish {
  readonly tester_id: string;
  readonly purpose: Purpose;
  readonly steel: string | null;
  readonly due_on: string | null;
}

/** Asking a tester for a trial of each. Open requests for the same trial are not made twice. */
export const askForTrials = (rows: readonly DeskStone[], wish: AskWish, open: readonly Assignment[]): Act<OwnFields<"assignment">> =>
  work(rows, (row) => {
    if (isSold(row)) return "sold";
    if (row.state === "set_aside") return "aside";
    if (row.state === "to_repair") return "needs_repair";
    const asked = open.some((one) =>
      one.stone_id === row.stone_id && one.tester_id === wish.tester_id && one.purpose === wish.purpose && one.steel === wish.steel);
    return asked ? "asked_already" : { stone_id: row.stone_id, ...wish, notes: "" };
  });

/** Handing them to a member; null: back to the dealer. */
export const handOver = (rows: readonly DeskStone[], holder_id: string | null, handed_at: string): Act<OwnFields<"hand_over">> =>
  work(rows, (row) => (row.holder_id === holder_id ? "has_it" : { stone_id: row.stone_id, holder_id, handed_at, notes: "" }));

type OfferFields = OwnFields<"offer">;

function offerOf(row: DeskStone, currency: string): OfferFields {
  const { offer } = row;
  return {
    stone_id: row.stone_id,
    state: offer?.state ?? "for_sale",
    cost: offer?.cost ?? null,
    price: offer?.price ?? null,
    currency: offer?.currency ?? currency,
    notes: offer?.notes ?? "",
  };
}

/** Where a stone is offered: kept back with a reason, taken back into sale, reserved, sold. */
export const changeOffers = (rows: readonly DeskStone[], act: OfferAct, reason: string, currency: string): Act<OfferFields> =>
  work(rows, (row): OfferFields | Left => {
    const now = offerOf(row, currency);
    const state = row.offer_state;
    if (act === "offer_again") {
      if (state === null || state === "for_sale") return "not_kept_back";
      return { ...now, state: "for_sale", notes: state === "kept_back" ? takenBackNotes(now.notes) : now.notes };
    }
    if (state === "sold") return "sold";
    if (act === "keep_back") {
      if (state === "kept_back") return "kept_back";
      // Somebody was promised this one; whoever keeps it back takes the promise off first.
      if (state === "reserved") return "reserved";
      return { ...now, state: "kept_back", notes: keptBackNotes(now.notes, reason) };
    }
    if (state === "kept_back") return "kept_back";
    if (act === "reserve") return state === "reserved" ? "reserved" : { ...now, state: "reserved" };
    return { ...now, state: "sold" };
  });

/** One price for each of them. */
export const setPrices = (rows: readonly DeskStone[], price: number, currency: string): Act<OfferFields> =>
  work(rows, (row) => {
    if (isSold(row)) return "sold";
    const now = offerOf(row, currency);
    return now.price === price && now.currency === currency && row.offer !== null ? "priced_so" : { ...now, price, currency };
  });

/** Publishing what is ready, each by a slip of its own. What is not ready is left alone, never overridden in bulk. */
export const publishReady = (rows: readonly DeskStone[], purpose: Purpose): Act<OwnFields<"slip">> =>
  work(rows, (row) => {
    if (isSold(row)) return "sold";
    if (isPublishing(row)) return "on_its_way";
    if (row.state === "published") return "published";
    if (row.state !== "ready") return row.state === "set_aside" ? "aside" : "not_ready";
    return { stone_id: row.stone_id, purpose, override_reason: null, notes: "" };
  });

/** The service draws labels of stones that it knows. */
export const printable = (rows: readonly DeskStone[]): Act<{ readonly stone_id: string }> =>
  work(rows, (row) => (row.stone.version === 0 ? "not_sent" : { stone_id: row.stone_id }));

/** What most offers are in; a first one starts from the euro, which the dealer may change. */
export function usualCurrency(offers: readonly Pick<Offer, "currency">[]): string {
  const counts = new Map<string, number>();
  for (const { currency } of offers) counts.set(currency, (counts.get(currency) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || a[0].localeCompare(b[0]))[0]?.[0] ?? "EUR";
}
