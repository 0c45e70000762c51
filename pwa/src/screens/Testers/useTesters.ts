import { useEffect, useState } from "preact/hooks";
import type { Calibration } from "../../domain/calibration";
import type { Purpose } from "../../domain/records";
import { readAll, readSession } from "../../store/catalogue";
import { readCalibration } from "../../store/calibration";
import { mayDeal } from "../../store/db";
import { useLive } from "../../store/live";
import { askCalibration, type Asked } from "../../sync/pooled";
import { purposes } from "../../words/trade";

export interface TestersView {
  /** The last answer this device has; null when it has none. */
  readonly answer: Calibration | null;
  readonly readAt: string | null;
  /** How the last asking went; null while it is under way. */
  readonly asked: Asked | null;
  readonly again: () => void;
}

/** Everybody's calibration for a purpose: what is kept at once, then what the service says now. */
export function useTesters(purpose: Purpose | null): TestersView | undefined {
  const kept = useLive(async () => (purpose === null ? null : readCalibration(purpose)), [purpose]);
  const [asked, setAsked] = useState<{ readonly purpose: Purpose; readonly how: Asked } | null>(null);
  const [round, setRound] = useState(0);
  useEffect(() => {
    if (purpose === null) return;
    let current = true;
    setAsked(null);
    void askCalibration(purpose).then((how) => {
      if (current) setAsked({ purpose, how });
    });
    return () => { current = false; };
  }, [purpose, round]);
  if (kept === undefined || purpose === null) return undefined;
  return {
    answer: kept?.answer ?? null,
    readAt: kept?.read_at ?? null,
    asked: asked?.purpose === purpose ? asked.how : null,
    again: () => setRound((n) => n + 1),
  };
}

export async function readTestersBase() {
  const [session, protocols, members, stones, blades] = await Promise.all([
    readSession(), readAll("protocol"), readAll("member", { withdrawn: true }), readAll("stone", { withdrawn: true }), readAll("blade", { withdrawn: true }),
  ]);
  const used = new Set(protocols.map(({ record }) => record.purpose));
  return {
    signedIn: session !== null,
    mayDeal: mayDeal(session),
    protocols: protocols.map(({ record }) => record),
    purposes: (Object.keys(purposes) as Purpose[]).filter((purpose) => used.has(purpose)),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
    codes: new Map(stones.map(({ record }) => [record.id, record.code])),
    steels: new Map(blades.map(({ record }) => [record.steel, record.steel_name])),
  };
}
export type TestersBase = Awaited<ReturnType<typeof readTestersBase>>;
