import { useEffect, useState } from "preact/hooks";
import { behindAgainMs } from "../../constants";
import type { Purpose } from "../../domain/records";
import { readBoard, readCursor, type BoardAnswer } from "../../store/board";
import { useLive } from "../../store/live";
import { askBoard } from "../../sync/board";
import type { Asked } from "../../sync/pooled";

export interface BoardView {
  /** The last answer this phone has; null when it has none. */
  readonly kept: BoardAnswer | null;
  /** How the last asking went; null while it is under way. */
  readonly asked: Asked | null;
  readonly again: () => void;
}

/** The board of a purpose: what is kept at once, then what the service says now, and again whenever there is news. */
export function useBoard(purpose: Purpose): BoardView | undefined {
  const kept = useLive(() => readBoard(purpose), [purpose]);
  const cursor = useLive(readCursor, []);
  const [asked, setAsked] = useState<Asked | null>(null);
  const [round, setRound] = useState(0);
  const known = cursor !== undefined;

  useEffect(() => {
    if (!known) return;
    let current = true;
    void askBoard(purpose).then((how) => {
      if (current) setAsked(how);
    });
    return () => { current = false; };
  }, [purpose, round, known, cursor]);

  // A fit under way changes no record, so nothing would call the board again once it is over.
  const behind = asked === "here" && kept?.answer.behind === true;
  useEffect(() => {
    if (!behind) return;
    const timer = setTimeout(() => setRound((n) => n + 1), behindAgainMs);
    return () => clearTimeout(timer);
  }, [behind, round]);

  if (kept === undefined) return undefined;
  return {
    kept,
    asked,
    again: () => {
      setAsked(null);
      setRound((n) => n + 1);
    },
  };
}
