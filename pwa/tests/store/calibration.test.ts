import { describe, expect, it } from "vitest";
import type { Calibration } from "../../src/domain/calibration";
import { keepCalibration, readCalibration } from "../../src/store/calibration";
import { WhetpanelDb, type Session } from "../../src/store/db";

const session = (id: string): Session => ({
  member: { id, display_name: id, roles: ["tester"] }, club: { id: "c", name: "C", slug: "c", invented: true }, view: "tester", signed_in: true,
});
const answer = (purpose: "knife" | "razor"): Calibration => ({ purpose, revision: 1, behind: false, scales: [] });
const now = new Date("2026-03-06T19:00:00Z");

describe("the kept calibration", () => {
  it("is kept per purpose with its age, and is nobody else's on this phone", async () => {
    const db = new WhetpanelDb("calibration");
    await db.keep("session", session("me"));
    await keepCalibration(answer("knife"), now, db);
    await keepCalibration(answer("razor"), now, db);
    expect(await readCalibration("knife", db)).toEqual({ read_at: now.toISOString(), answer: answer("knife") });

    await db.keep("session", session("you"));
    expect(await readCalibration("knife", db)).toBeNull();
    await keepCalibration(answer("knife"), now, db);
    await db.keep("session", session("me"));
    expect(await readCalibration("razor", db)).toBeNull();
  });
});
