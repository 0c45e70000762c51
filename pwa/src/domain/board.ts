/**
 * The lot board: where every stone stands for a purpose, as the service worked it out, with what this phone knows
 * since lying over it. Nothing here is written back; a stone's state is never typed in. Pure.
 */
import type { HandOver, Offer, Purpose, Slip, Stone } from "./records";

/** In the order in which a stone goes through them. */
export const standings = ["to_inspect", "to_repair", "in_trial", "ready", "published", "set_aside"] as const;
export type StandingName = (typeof standings)[number];
export type OfferState = Offer["state"];

export interface BoardStone {
  readonly stone_id: string;
  readonly state: StandingName;
  /** Sentences: what stands between the stone and a valid slip, and what to do. */
  readonly blocks: readonly string[];
  /** Sentences that hold nothing up. */
  readonly remarks: readonly string[];
  readonly n_trials: number;
  readonly n_testers: number;
  readonly n_open_work: number;
  readonly n_asked: number;
  readonly n_overdue: number;
  readonly holder_id: string | null;
  readonly slip_id: string | null;
  /** Its published grades have moved since. */
  readonly moved: boolean;
  readonly offer_state: OfferState | null;
}

export interface Board {
  readonly purpose: Purpose;
  readonly revision: number;
  readonly behind: boolean;
  readonly counts: Readonly<Record<string, number>>;
  readonly n_sold: number;
  readonly n_to_reissue: number;
  readonly n_asked: number;
  readonly n_overdue: number;
  readonly stones: readonly BoardStone[];
}

/** What of one stone is on its way from this phone and not in the board's answer. */
export type Pending = "kept_back" | "taken_back" | "offer" | "hand_over" | "asked" | "slip" | "slip_refused" | "new";

/** A stone as the desk shows it: the service's word with this phone's own over it. */
export interface DeskStone extends BoardStone {
  readonly stone: Stone;
  readonly offer: Offer | null;
  readonly pending: readonly Pending[];
}

/** A record with where it stands on its way; the store's reading satisfies it. */
interface OnItsWay<R> {
  readonly record: R;
  readonly state: "sent" | "waiting" | "needs_you";
}

/** What this phone holds that the board's answer may not know yet. */
export interface Here {
  readonly stones: readonly OnItsWay<Stone>[];
  readonly offers: readonly OnItsWay<Offer>[];
  readonly handOvers: ReadonlyMap<string, HandOver>;
  /** Stones for which an own hand-over waits here. */
  readonly handing: ReadonlySet<string>;
  /** Stone id → own requests for trials for this purpose that wait here. */
  readonly asking: ReadonlyMap<string, number>;
  /** Slips for this purpose that the service has not issued. */
  readonly slips: readonly OnItsWay<Slip>[];
}

const fresh = (stone_id: string): BoardStone => ({
  stone_id, state: "to_inspect", blocks: [], remarks: [], n_trials: 0, n_testers: 0, n_open_work: 0, n_asked: 0,
  n_overdue: 0, holder_id: null, slip_id: null, moved: false, offer_state: null,
});

/** Reason in front, on a line of its own, so that taking the stone back leaves the dealer's notes as they were. */
export const keptBackNotes = (notes: string, reason: string): string => [reason.replace(/\s+/g, " ").trim(), notes.trim()].filter((part) => part !== "").join("\n");
export const takenBackNotes = (notes: string): string => notes.split("\n").slice(1).join("\n").trim();
/** Why a stone is kept back. */
export const reasonOf = (offer: Pick<Offer, "notes">): string => offer.notes.split("\n")[0]?.trim() ?? "";

/**
 * Every stone of the board that this phone holds too. A change that waits here shows at once where its effect is
 * certain: a stone kept back is set aside. Where the effect rests on records only the service has (a stone taken
 * back into sale), the old state stays, marked as waiting.
 */
export function laidOver(board: Board, here: Here, keptBack: (reason: string) => string): DeskStone[] {
  const rows = new Map(board.stones.map((row) => [row.stone_id, row]));
  const offers = new Map(here.offers.map((offer) => [offer.record.stone_id, offer]));
  const slips = new Map(here.slips.map((slip) => [slip.record.stone_id, slip]));
  return here.stones.map(({ record: stone }) => {
    const known = rows.get(stone.id);
    const row = known ?? fresh(stone.id);
    const offer = offers.get(stone.id);
    const asking = here.asking.get(stone.id) ?? 0;
    const slip = slips.get(stone.id);
    const offerState = offer?.record.state ?? row.offer_state;
    const newlyKept = offerState === "kept_back" && row.offer_state !== "kept_back";
    const newlyFree = row.offer_state === "kept_back" && offerState !== "kept_back";
    const pending: Pending[] = [];
    if (known === undefined) pending.push("new");
    if (newlyKept) pending.push("kept_back");
    else if (newlyFree) pending.push("taken_back");
    else if (offer !== undefined && offer.state !== "sent") pending.push("offer");
    if (here.handing.has(stone.id)) pending.push("hand_over");
    if (asking > 0) pending.push("asked");
    if (slip !== undefined) pending.push(slip.state === "needs_you" ? "slip_refused" : "slip");
    const handOver = here.handOvers.get(stone.id);
    return {
      ...row,
      ...(newlyKept && offer !== undefined ? { state: "set_aside", blocks: [keptBack(reasonOf(offer.record)), ...row.blocks] } as const : {}),
      n_asked: row.n_asked + asking,
      holder_id: handOver === undefined ? row.holder_id : handOver.holder_id,
      offer_state: offerState,
      stone,
      offer: offer?.record ?? null,
      pending,
    };
  });
}

export const isSold = (row: Pick<BoardStone, "offer_state">): boolean => row.offer_state === "sold";

/** Which stones the dealer looks at. Empty: all. Sold ones only where they are asked for. */
export interface Wanted {
  readonly states: ReadonlySet<StandingName>;
  readonly offer: OfferState | "none" | "";
  readonly lot: string;
  readonly kind: string;
  /** A member's id, "dealer" for those with the dealer. */
  readonly holder: string;
  readonly only: "moved" | "asked" | "overdue" | "";
}

export const withDealer = "dealer";

/** Whether a stone is among them, its state left aside: the counts by state are taken over these. */
export function isAmong(row: DeskStone, { offer, lot, kind, holder, only }: Wanted): boolean {
  if (offer === "" ? isSold(row) : offer === "none" ? row.offer_state !== null : row.offer_state !== offer) return false;
  if (lot !== "" && row.stone.lot_id !== lot) return false;
  if (kind !== "" && row.stone.kind !== kind) return false;
  if (holder !== "" && (row.holder_id ?? withDealer) !== holder) return false;
  return only === "" || (only === "moved" ? row.moved : only === "asked" ? row.n_asked > 0 : row.n_overdue > 0);
}

export function countStates(rows: readonly DeskStone[]): Readonly<Record<StandingName, number>> {
  const counts = Object.fromEntries(standings.map((name) => [name, 0])) as Record<StandingName, number>;
  for (const row of rows) counts[row.state] += 1;
  return counts;
}

/** What asks for the dealer's decision, over all stones that are not sold. */
export interface Decisions {
  readonly moved: number;
  readonly ready: number;
  readonly to_repair: number;
  readonly asked: number;
  readonly overdue: number;
}

export function decisionsOf(rows: readonly DeskStone[]): Decisions {
  const here = rows.filter((row) => !isSold(row));
  const sum = (of: (row: DeskStone) => number): number => here.reduce((total, row) => total + of(row), 0);
  return {
    moved: here.filter((row) => row.moved).length,
    // Those whose slip has moved are counted there; here stand those that have none.
    ready: here.filter((row) => row.state === "ready" && !row.moved && !isPublishing(row)).length,
    to_repair: here.filter((row) => row.state === "to_repair").length,
    asked: sum((row) => row.n_asked),
    overdue: sum((row) => row.n_overdue),
  };
}

export const isPublishing = (row: Pick<DeskStone, "pending">): boolean => row.pending.includes("slip");
