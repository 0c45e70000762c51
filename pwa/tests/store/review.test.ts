import { beforeEach, describe, expect, it } from "vitest";
import type { Review } from "../../src/domain/review";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { keepReview, readReview } from "../../src/store/review";

const session = (member: string): Session => ({
  member: { id: member, display_name: member, roles: ["dealer"] },
  club: { id: "c", name: "C", slug: "c", invented: true },
  view: "dealer",
  signed_in: true,
});
const answer = (stone_id: string, purpose: "knife" | "razor" = "knife"): Review =>
  ({ stone_id, purpose, method_version: "1", revision: 1, computed_at: "2026-01-01T00:00:00Z", behind: false, scales: [] });

describe("kept reviews", () => {
  let db: WhetpanelDb;
  beforeEach(async () => {
    db = new WhetpanelDb(`review-${Math.random()}`);
    await db.keep("session", session("dealer"));
  });

  it("come back for their stone and purpose with the time they were read", async () => {
    await keepReview(answer("s"), new Date("2026-01-02T00:00:00Z"), db);
    expect((await readReview("s", "knife", db))?.read_at).toBe("2026-01-02T00:00:00.000Z");
    expect(await readReview("s", "razor", db)).toBeNull();
    expect(await readReview("other", "knife", db)).toBeNull();
  });

  it("are the last forty: a phone is no archive", async () => {
    for (let n = 0; n < 45; n += 1) await keepReview(answer(`s${n}`), new Date(2026, 0, 1, 0, n), db);
    expect(await readReview("s4", "knife", db)).toBeNull();
    expect(await readReview("s5", "knife", db)).not.toBeNull();
    expect(Object.keys((await db.note("review"))?.answers ?? {})).toHaveLength(40);
  });

  it("are never shown to somebody else on the same phone", async () => {
    await keepReview(answer("s"), new Date(), db);
    await db.keep("session", { ...session("tester"), view: "tester" });
    expect(await readReview("s", "knife", db)).toBeNull();
  });
});
