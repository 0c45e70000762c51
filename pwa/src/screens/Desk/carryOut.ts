import type { Act } from "../../domain/board_acts";
import type { DeskStone } from "../../domain/board";

/** What became of an act: how many were kept, and which were not because the phone could not. */
export interface Outcome {
  readonly done: number;
  readonly notDone: readonly DeskStone[];
  readonly why: string | null;
}

/**
 * Writes one record after the other. Where the phone cannot keep one it stops there, and says exactly which stones
 * are left as they were: nothing is done by half without a word.
 */
export async function carryOut<Body>(act: Act<Body>, write: (body: Body, row: DeskStone) => Promise<void>): Promise<Outcome> {
  for (const [n, { row, body }] of act.does.entries()) {
    try {
      await write(body, row);
    } catch (error) {
      return {
        done: n,
        notDone: act.does.slice(n).map((one) => one.row),
        why: error instanceof Error ? error.message : String(error),
      };
    }
  }
  return { done: act.does.length, notDone: [], why: null };
}
