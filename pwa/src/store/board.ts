/** The last boards, one a purpose, so that a dealer without a signal still sees them, with their age. Kept like the pooled grades. */
import type { Board } from "../domain/board";
import type { Purpose } from "../domain/records";
import { db as theDb, type WhetpanelDb } from "./db";
import { catalogueOf } from "./pulled";

export interface BoardAnswer {
  readonly read_at: string;
  readonly answer: Board;
}

export async function readBoard(purpose: Purpose, db: WhetpanelDb = theDb): Promise<BoardAnswer | null> {
  const [session, kept] = [await db.note("session"), await db.note("board")];
  if (session === null || kept?.whose !== catalogueOf(session)) return null;
  return kept.answers[purpose] ?? null;
}

export async function keepBoard(answer: Board, now: Date, db: WhetpanelDb = theDb): Promise<void> {
  await db.transaction("rw", db.meta, async () => {
    const [session, kept] = [await db.note("session"), await db.note("board")];
    if (session === null) return;
    const whose = catalogueOf(session);
    const others = kept?.whose === whose ? kept.answers : {};
    await db.keep("board", { whose, answers: { ...others, [answer.purpose]: { read_at: now.toISOString(), answer } } });
  });
}

/** How far the catalogue is: it moves when there is news, and the board is then asked for again. */
export const readCursor = async (db: WhetpanelDb = theDb): Promise<number> => (await db.note("cursor")) ?? 0;
