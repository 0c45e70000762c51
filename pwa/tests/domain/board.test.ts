import { describe, expect, it } from "vitest";
import {
  countStates, decisionsOf, isAmong, keptBackNotes, laidOver, takenBackNotes, type Board, type BoardStone, type Here, type Wanted,
} from "../../src/domain/board";
import {
  askForTrials, changeOffers, handOver, printable, publishReady, setPrices, usualCurrency, type Act,
} from "../../src/domain/board_acts";
import type { Assignment, HandOver, Offer, Slip, Stone } from "../../src/domain/records";
import { slabsOf, stonesPerSlab } from "../../src/screens/Desk/piles";

// What the desk does with stones: common practice, no source.
const stone = (id: string, more: Partial<Stone> = {}): Stone => ({ id, code: id.toUpperCase(), lot_id: "l1", kind: "slate", version: 1, ...more }) as Stone;
const row = (stone_id: string, more: Partial<BoardStone> = {}): BoardStone => ({
  stone_id, state: "in_trial", blocks: ["2 of 3 testers have tried it: ask 1 more."], remarks: [], n_trials: 2, n_testers: 2, n_open_work: 0,
  n_asked: 0, n_overdue: 0, holder_id: null, slip_id: null, moved: false, offer_state: null, ...more,
});
const board = (stones: readonly BoardStone[]): Board => ({
  purpose: "knife", revision: 1, behind: false, counts: {}, n_sold: 0, n_to_reissue: 0, n_asked: 0, n_overdue: 0, stones,
});
const offer = (stone_id: string, more: Partial<Offer> = {}): Offer =>
  ({ id: stone_id, stone_id, state: "for_sale", cost: null, price: null, currency: "EUR", notes: "", version: 1, ...more }) as Offer;
const sent = <R>(record: R) => ({ record, state: "sent" as const });
const waiting = <R>(record: R) => ({ record, state: "waiting" as const });
const here = (more: Partial<Here> = {}): Here =>
  ({ stones: [sent(stone("a"))], offers: [], handOvers: new Map(), handing: new Set(), asking: new Map(), slips: [], ...more });
const kept = (reason: string): string => `Kept back: ${reason}`;
const all: Wanted = { states: new Set(), offer: "", lot: "", kind: "", holder: "", only: "" };
const desk = (rows: readonly BoardStone[], more: Partial<Here> = {}) =>
  laidOver(board(rows), here({ stones: rows.map(({ stone_id }) => sent(stone(stone_id))), ...more }), kept);
const whys = <B>(act: Act<B>): Readonly<Record<string, string>> => Object.fromEntries(act.leaves.map(({ row: { stone_id }, why }) => [stone_id, why]));
const done = <B>(act: Act<B>): readonly string[] => act.does.map((one) => one.row.stone_id);

describe("the board with this phone's own records over it", () => {
  it("shows a stone kept back here as set aside at once, with the reason, and marks it as waiting", () => {
    const [one] = desk([row("a")], { offers: [waiting(offer("a", { state: "kept_back", notes: "A leaf lifts\nBox 4" }))] });
    expect(one).toMatchObject({ state: "set_aside", offer_state: "kept_back", pending: ["kept_back"] });
    expect(one?.blocks[0]).toBe("Kept back: A leaf lifts");
  });

  it("does not guess where a stone goes that is taken back into sale", () => {
    const [one] = desk([row("a", { state: "set_aside", offer_state: "kept_back" })], { offers: [waiting(offer("a"))] });
    expect(one).toMatchObject({ state: "set_aside", offer_state: "for_sale", pending: ["taken_back"] });
  });

  it("marks nothing as waiting that the service has already", () => {
    const [one] = desk([row("a", { state: "set_aside", offer_state: "kept_back" })], { offers: [sent(offer("a", { state: "kept_back", notes: "x" }))] });
    expect(one?.pending).toEqual([]);
  });

  it("counts what is asked here, and knows who was given the stone here", () => {
    const handOvers = new Map([["a", { stone_id: "a", holder_id: "m1" } as HandOver]]);
    const [one] = desk([row("a", { n_asked: 1 })], { asking: new Map([["a", 2]]), handOvers, handing: new Set(["a"]) });
    expect(one).toMatchObject({ n_asked: 3, holder_id: "m1", pending: ["hand_over", "asked"] });
  });

  it("tells a slip on its way from one the service did not take", () => {
    const slip = { stone_id: "a" } as Slip;
    expect(desk([row("a")], { slips: [waiting(slip)] })[0]?.pending).toEqual(["slip"]);
    expect(desk([row("a")], { slips: [{ record: slip, state: "needs_you" }] })[0]?.pending).toEqual(["slip_refused"]);
  });

  it("has a place for a stone that was taken in since", () => {
    const rows = laidOver(board([]), here(), kept);
    expect(rows[0]).toMatchObject({ state: "to_inspect", pending: ["new"] });
  });
});

describe("what the dealer looks at", () => {
  const rows = desk([
    row("a", { state: "ready", moved: true }), row("b", { state: "ready" }), row("c", { state: "to_repair", n_asked: 2, n_overdue: 1, holder_id: "m1" }),
    row("d", { state: "ready", offer_state: "sold" }),
  ]);
  const among = (more: Partial<Wanted>): readonly string[] => rows.filter((one) => isAmong(one, { ...all, ...more })).map((one) => one.stone_id);

  it("leaves sold stones out until they are asked for", () => {
    expect(among({})).toEqual(["a", "b", "c"]);
    expect(among({ offer: "sold" })).toEqual(["d"]);
    expect(among({ offer: "none" })).toEqual(["a", "b", "c"]);
  });

  it("narrows by who has it, what is asked and what has moved", () => {
    expect(among({ holder: "m1" })).toEqual(["c"]);
    expect(among({ holder: "dealer" })).toEqual(["a", "b"]);
    expect(among({ only: "moved" })).toEqual(["a"]);
    expect(among({ only: "overdue" })).toEqual(["c"]);
    expect(among({ lot: "other" })).toEqual([]);
  });

  it("counts each stone once by state, and a moved slip apart from what is ready", () => {
    expect(countStates(rows)).toMatchObject({ ready: 3, to_repair: 1, published: 0 });
    expect(decisionsOf(rows)).toEqual({ moved: 1, ready: 1, to_repair: 1, asked: 2, overdue: 1 });
  });
});

describe("acts on several stones", () => {
  const wish = { tester_id: "t", purpose: "knife", steel: null, due_on: null } as const;
  const rows = desk([
    row("a"), row("b", { state: "set_aside" }), row("c", { state: "to_repair" }), row("d", { offer_state: "sold" }), row("e", { state: "ready" }),
    row("f", { state: "published" }),
  ]);

  it("ask for no trial of a stone that nobody should try, and for none twice", () => {
    const open = [{ stone_id: "e", tester_id: "t", purpose: "knife", steel: null } as Assignment];
    const act = askForTrials(rows, wish, open);
    expect(done(act)).toEqual(["a", "f"]);
    expect(whys(act)).toEqual({ b: "aside", c: "needs_repair", d: "sold", e: "asked_already" });
    expect(done(askForTrials(rows, { ...wish, steel: "fine" }, open))).toEqual(["a", "e", "f"]);
  });

  it("leave nothing out without a reason", () => {
    for (const act of [askForTrials(rows, wish, []), handOver(rows, "m", "2026-03-01T10:00:00Z"), changeOffers(rows, "keep_back", "x", "EUR"), setPrices(rows, 10, "EUR"), publishReady(rows, "knife"), printable(rows)]) {
      expect(act.does.length + act.leaves.length).toBe(rows.length);
    }
  });

  it("publish only what is ready, and never with a reason that overrides the rule", () => {
    const act = publishReady(rows, "knife");
    expect(done(act)).toEqual(["e"]);
    expect(act.does[0]?.body).toMatchObject({ override_reason: null });
    expect(whys(act)).toEqual({ a: "not_ready", b: "aside", c: "not_ready", d: "sold", f: "published" });
  });

  it("do not publish twice what is on its way", () => {
    const [one] = desk([row("e", { state: "ready" })], { slips: [waiting({ stone_id: "e" } as Slip)] });
    expect(whys(publishReady(one === undefined ? [] : [one], "knife"))).toEqual({ e: "on_its_way" });
  });

  it("keep back with the reason, and give the dealer's notes back unharmed", () => {
    expect(takenBackNotes(keptBackNotes("Box 4\nTop shelf", "  A leaf \n lifts "))).toBe("Box 4\nTop shelf");
    expect(keptBackNotes("", "A leaf lifts")).toBe("A leaf lifts");
    const [one] = desk([row("a")], { offers: [sent(offer("a", { notes: "Box 4", cost: 20, price: 60, currency: "GBP" }))] });
    const act = changeOffers(one === undefined ? [] : [one], "keep_back", "A leaf lifts", "EUR");
    expect(act.does[0]?.body).toEqual({ stone_id: "a", state: "kept_back", cost: 20, price: 60, currency: "GBP", notes: "A leaf lifts\nBox 4" });
  });

  it("a price touches nothing but the price", () => {
    const [one] = desk([row("a", { offer_state: "reserved" })], { offers: [sent(offer("a", { state: "reserved", cost: 20, notes: "Box 4" }))] });
    const list = one === undefined ? [] : [one];
    expect(setPrices(list, 75, "EUR").does[0]?.body).toEqual({ stone_id: "a", state: "reserved", cost: 20, price: 75, currency: "EUR", notes: "Box 4" });
  });

  it("a stone without an offer is priced in what the club usually asks", () => {
    expect(usualCurrency([])).toBe("EUR");
    expect(usualCurrency([{ currency: "JPY" }, { currency: "JPY" }, { currency: "EUR" }])).toBe("JPY");
  });

  it("no labels for a stone that the service does not know yet", () => {
    const rows2 = laidOver(board([]), here({ stones: [waiting(stone("n", { version: 0 }))] }), kept);
    expect(whys(printable(rows2))).toEqual({ n: "not_sent" });
  });
});

describe("piles", () => {
  it("are eight slabs high at the most, and empty only where there is none", () => {
    for (const most of [1, 8, 9, 42, 399, 2000, 5000]) {
      const per = stonesPerSlab([most, 1, 0]);
      expect(slabsOf(most, per)).toBeLessThanOrEqual(8);
      expect(slabsOf(1, per)).toBe(1);
      expect(slabsOf(0, per)).toBe(0);
    }
  });
});
