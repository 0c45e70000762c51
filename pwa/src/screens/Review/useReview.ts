import { useEffect, useState } from "preact/hooks";
import type { Purpose } from "../../domain/records";
import type { Review } from "../../domain/review";
import { useLive } from "../../store/live";
import { readReview } from "../../store/review";
import type { Asked } from "../../sync/pooled";
import { askReview } from "../../sync/review";

export interface ReviewView {
  readonly answer: Review | null;
  readonly readAt: string | null;
  readonly asked: Asked | null;
  readonly again: () => void;
}

/** While newer records are being pooled the service is asked again after so long, so many times. */
const behindMs = 2500;
const behindMost = 10;

/** The review of a stone: what is kept at once, then what the service says now, and once more when `turn` changes. */
export function useReview(stoneId: string, purpose: Purpose | null, turn: string): ReviewView | undefined {
  const kept = useLive(async () => (purpose === null ? null : readReview(stoneId, purpose)), [stoneId, purpose]);
  const [asked, setAsked] = useState<{ of: string; how: Asked } | null>(null);
  const [round, setRound] = useState(0);
  const of = `${stoneId} ${purpose ?? ""}`;

  useEffect(() => {
    if (purpose === null) return;
    let current = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const ask = async (left: number): Promise<void> => {
      const how = await askReview(stoneId, purpose);
      if (!current) return;
      setAsked({ of, how });
      const behind = how === "here" && (await readReview(stoneId, purpose))?.answer.behind === true;
      if (behind && left > 0) timer = setTimeout(() => void ask(left - 1), behindMs);
    };
    void ask(behindMost);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [stoneId, purpose, of, round, turn]);

  if (kept === undefined || purpose === null) return undefined;
  return {
    answer: kept?.answer ?? null,
    readAt: kept?.read_at ?? null,
    asked: asked?.of === of ? asked.how : null,
    again: () => setRound((n) => n + 1),
  };
}
