import { plainCode } from "../../domain/intake/codes";
import { believableDensity, type KnownCode } from "../../domain/intake/rows";
import type { Lot } from "../../domain/records";
import { readAll, readRuleSet, readSession } from "../../store/catalogue";
import { mayDeal } from "../../store/db";

/** What the club has already, as far as taking in minds it. */
export interface IntakeClub {
  readonly mayDeal: boolean;
  readonly lots: readonly Lot[];
  /** Also of withdrawn lots. */
  readonly lotCodes: readonly string[];
  /** Codes of all stones by their plain form; of several with one form the one that stands. */
  readonly known: ReadonlyMap<string, KnownCode>;
  readonly codes: readonly string[];
  /** Of each lot the stones that stand, the oldest first. */
  readonly ofLot: ReadonlyMap<string, readonly { readonly id: string; readonly code: string }[]>;
  readonly believable: { readonly low: number; readonly high: number };
  /** What the last offer was in. */
  readonly currency: string;
}

const byCode = new Intl.Collator("en", { numeric: true });

/** `except`: the stone that is being changed, whose own code is not taken. */
export async function readIntakeClub(except?: string): Promise<IntakeClub> {
  const [session, lots, stones, offers, rules] = await Promise.all([
    readSession(), readAll("lot", { withdrawn: true }), readAll("stone", { withdrawn: true }), readAll("offer"), readRuleSet(),
  ]);
  // UUIDv7 ids sort by time of making.
  const inOrder = stones
    .filter(({ record }) => record.id !== except)
    .map(({ record, state }) => ({ ...record, waits: state !== "sent" }))
    .sort((a, b) => (a.id < b.id ? -1 : 1));
  const known = new Map<string, KnownCode>();
  const ofLot = new Map<string, { id: string; code: string }[]>();
  for (const { id, code, lot_id, withdrawn, waits } of inOrder) {
    const plain = plainCode(code);
    if (withdrawn !== null) {
      if (!known.has(plain)) known.set(plain, { code, state: "withdrawn" });
      continue;
    }
    known.set(plain, { code, state: waits ? "waiting" : "here" });
    const group = ofLot.get(lot_id);
    if (group === undefined) ofLot.set(lot_id, [{ id, code }]);
    else group.push({ id, code });
  }
  const rule = rules?.record.rules.find(({ id }) => id === "density_not_believable");
  const bound = (name: string, usual: number): number => rule?.parameters.find((one) => one.name === name)?.value ?? usual;
  const latest = offers.reduce<string | null>((best, { record }) => (best === null || record.updated_at > best ? record.updated_at : best), null);
  return {
    mayDeal: mayDeal(session),
    lots: lots.map(({ record }) => record).filter((lot) => lot.withdrawn === null).sort((a, b) => byCode.compare(a.code, b.code)),
    lotCodes: lots.map(({ record }) => record).sort((a, b) => (a.id < b.id ? -1 : 1)).map(({ code }) => code),
    known,
    codes: inOrder.map(({ code }) => code),
    ofLot,
    believable: { low: bound("lightest", believableDensity.low), high: bound("heaviest", believableDensity.high) },
    currency: offers.find(({ record }) => record.updated_at === latest)?.record.currency ?? "EUR",
  };
}
