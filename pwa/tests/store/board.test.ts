import { describe, expect, it } from "vitest";
import type { Board } from "../../src/domain/board";
import { keepBoard, readBoard, readCursor } from "../../src/store/board";
import { WhetpanelDb, type Session } from "../../src/store/db";

const session = (id: string): Session => ({
  member: { id, display_name: id, roles: ["dealer"] }, club: { id: "c", name: "C", slug: "c", invented: true }, view: "dealer", signed_in: true,
});
const answer = (purpose: "knife" | "razor"): Board => ({
  purpose, revision: 1, behind: false, counts: {}, n_sold: 0, n_to_reissue: 0, n_asked: 0, n_overdue: 0, stones: [],
});
const now = new Date("2026-03-06T19:00:00Z");

describe("the kept board", () => {
  it("is kept per purpose with its age, and shown to nobody else on this phone", async () => {
    const db = new WhetpanelDb("board");
    await db.keep("session", session("me"));
    await keepBoard(answer("knife"), now, db);
    await keepBoard(answer("razor"), now, db);
    expect(await readBoard("knife", db)).toEqual({ read_at: now.toISOString(), answer: answer("knife") });
    expect(await readBoard("razor", db)).not.toBeNull();

    await db.keep("session", session("you"));
    expect(await readBoard("knife", db)).toBeNull();
    await keepBoard(answer("knife"), now, db);
    await db.keep("session", session("me"));
    expect(await readBoard("razor", db)).toBeNull();
  });

  it("is asked for again when the catalogue has moved", async () => {
    const db = new WhetpanelDb("board-cursor");
    expect(await readCursor(db)).toBe(0);
    await db.keep("cursor", 7);
    expect(await readCursor(db)).toBe(7);
  });
});
