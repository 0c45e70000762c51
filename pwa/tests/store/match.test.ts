import { beforeEach, describe, expect, it } from "vitest";
import { newBlade, type Found, type Steels } from "../../src/domain/match";
import type { MatchWish } from "../../src/domain/records";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { keepFound, keepSteels, readMatch } from "../../src/store/match";
import { overlay } from "../../src/store/overlay";
import { saveToQueue, readQueue } from "../../src/store/outbox";

const session = (member: string): Session => ({
  member: { id: member, display_name: member, roles: ["dealer"] },
  club: { id: "c", name: "C", slug: "c", invented: true },
  view: "dealer",
  signed_in: true,
});
const wish: MatchWish = {
  purpose: "knife", blades: [newBlade], finish: "clean", skill: "practised", owned: null, budget: null, size: null, waived: [],
};
const found = { verdict: "One stone is likely to serve.", ranked: [] } as unknown as Found;
const steels = { step: "A step." } as unknown as Steels;

describe("what a wish is made of, and the last answer", () => {
  let db: WhetpanelDb;
  beforeEach(async () => {
    db = new WhetpanelDb(`match-${Math.random()}`);
    await db.keep("session", session("dealer"));
  });

  it("are kept beside each other, the answer with its wish and its time", async () => {
    await keepSteels(steels, db);
    await keepFound(wish, found, new Date("2026-01-02T00:00:00Z"), db);
    expect(await readMatch(db)).toEqual({ steels, last: { read_at: "2026-01-02T00:00:00.000Z", wish, answer: found } });
    await keepSteels({ ...steels, step: "Another." }, db);
    expect((await readMatch(db)).last?.answer.verdict).toBe("One stone is likely to serve.");
  });

  it("are never shown to somebody else on the same phone", async () => {
    await keepFound(wish, found, new Date(), db);
    await db.keep("session", { ...session("tester"), view: "tester" });
    expect(await readMatch(db)).toEqual({ steels: null, last: null });
  });

  it("leave a shortlist made here without a code until the service has fixed it", async () => {
    const body = { name: "A knife", wish, stone_ids: ["s"], notes: "" };
    await saveToQueue({ thing: "shortlist", record_id: "l", body, base: null, made_on: null }, null, new Date(), db);
    const entries = await readQueue(db);
    const [seen] = overlay("shortlist", [], entries);
    expect(seen).toMatchObject({ state: "waiting", record: { ...body, code: "", found: null } });
    expect(entries[0]?.path).toBe("/shortlists/l");
  });
});
