import { useEffect, useState } from "preact/hooks";
import type { Pooled } from "../../domain/pooled";
import type { Purpose } from "../../domain/records";
import { useLive } from "../../store/live";
import { readPooled } from "../../store/pooled";
import { askPooled, type Asked } from "../../sync/pooled";

export interface PooledView {
  /** The last answer this phone has; null when it has none. */
  readonly answer: Pooled | null;
  readonly readAt: string | null;
  /** How the last asking went; null while it is under way. */
  readonly asked: Asked | null;
  readonly again: () => void;
}

/** The pooled grades of a purpose: what is kept at once, then what the service says now. */
export function usePooled(purpose: Purpose | null): PooledView | undefined {
  const kept = useLive(async () => (purpose === null ? null : readPooled(purpose)), [purpose]);
  const [asked, setAsked] = useState<{ purpose: Purpose; how: Asked } | null>(null);
  const [round, setRound] = useState(0);

  useEffect(() => {
    if (purpose === null) return;
    let current = true;
    setAsked(null);
    void askPooled(purpose).then((how) => {
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
