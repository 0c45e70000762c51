import { describe, expect, it } from "vitest";
import type { Answer } from "../../src/api/errors";
import { retryAfterCeilingMs, retryCeilingMs, retryFirstMs } from "../../src/constants";
import type { QueueEntry } from "../../src/store/db";
import { backoffMs, isDue, isPaused, judge, nextToSend, soonestTryMs, waitMs, waitsFor } from "../../src/sync/decide";
import { reconcile } from "../../src/sync/reconcile";

const entry = (change: Partial<QueueEntry> = {}): QueueEntry => ({
  sequence: 1, member_id: "m", member_name: "M", club_id: "c", thing: "trial", record_id: "t1", act: "put",
  path: "/trials/t1", body: { notes: "mine" }, base: null, edition: 1, recorded_at: "2026-03-06T19:00:00.000Z",
  tried: [], state: "waiting", attempts: 0, tried_at: null, next_try_at: null, problem: null, theirs: null, ...change,
});
const refused = (status: number, current: Record<string, unknown> | null = null): Answer => ({
  kind: "refused",
  problem: { code: "x", status, title: "", detail: "", errors: [], current },
});

describe("the wait before the next try", () => {
  it("doubles, has a ceiling, and lies between half and all of the step", () => {
    for (let attempts = 0; attempts < 40; attempts += 1) {
      const step = Math.min(retryCeilingMs, retryFirstMs * 2 ** attempts);
      expect(backoffMs(attempts, 0)).toBe(step / 2);
      expect(backoffMs(attempts, 0.999)).toBeLessThan(step);
    }
  });

  it("is what the service asks for, but neither nothing nor for ever", () => {
    expect(waitMs(0, 0.5, 90_000)).toBe(90_000);
    expect(waitMs(0, 0.5, 0)).toBeGreaterThan(0);
    expect(waitMs(0, 0.5, 1e12)).toBe(retryAfterCeilingMs);
  });

  it("is over when the clock shows a time before the last try", () => {
    expect(isDue(entry({ tried_at: 1000, next_try_at: 5000 }), 4000)).toBe(false);
    expect(isDue(entry({ tried_at: 1000, next_try_at: 5000 }), 900)).toBe(true);
    expect(isPaused(5000, 4000)).toBe(true);
    expect(isPaused(4000 + retryAfterCeilingMs + 1, 4000)).toBe(false);
  });
});

describe("the next look at the queue", () => {
  it("comes when the first entry is due, and not by itself when nothing can go", () => {
    expect(soonestTryMs([], 0)).toBeNull();
    expect(soonestTryMs([entry({ state: "needs_you" }), entry({ state: "set_aside" })], 0)).toBeNull();
    expect(soonestTryMs([entry({ next_try_at: 90_000 }), entry({ next_try_at: 20_000 })], 0)).toBe(20_000);
    expect(soonestTryMs([entry({ next_try_at: null })], 0)).toBe(retryFirstMs);
  });

  it("counts an entry that a closed page left marked as being sent", () => {
    expect(soonestTryMs([entry({ state: "sending", next_try_at: null })], 0)).toBe(retryFirstMs);
  });
});

describe("what goes next", () => {
  it("keeps the order of saving", () => {
    const queue = [entry({ sequence: 4, record_id: "a" }), entry({ sequence: 9, record_id: "b" })];
    expect(nextToSend(queue, 0, new Set())?.sequence).toBe(4);
    expect(nextToSend(queue, 0, new Set([4]))?.sequence).toBe(9);
    expect(nextToSend(queue, 0, new Set([4, 9]))).toBeNull();
  });

  it("waits for the creation of what it refers to, and for nothing else", () => {
    const stone = entry({ sequence: 1, thing: "stone", record_id: "s1", state: "needs_you" });
    const edited = entry({ sequence: 2, thing: "stone", record_id: "s2", base: 3, state: "needs_you" });
    const aside = entry({ sequence: 3, thing: "stone", record_id: "s3", state: "set_aside" });
    const trial = (stone_id: string) => entry({ sequence: 9, body: { stone_id } });
    const queue = [stone, edited, aside];
    expect(waitsFor(trial("s1"), queue)).toEqual([stone]);
    expect(waitsFor(trial("s2"), queue)).toEqual([]);
    expect(waitsFor(trial("s3"), queue)).toEqual([]);
    expect(waitsFor(trial("s9"), queue)).toEqual([]);
  });
});

describe("what an answer means", () => {
  it.each<[string, Answer, string]>([
    ["done", { kind: "done", status: 201, body: { id: "t1", revision: 1, version: 1 } }, "through"],
    ["done, but about something else", { kind: "done", status: 200, body: { id: "t2" } }, "later"],
    ["done, but empty", { kind: "done", status: 200, body: null }, "later"],
    ["no answer", { kind: "unreachable", why: "" }, "later"],
    ["500", { kind: "troubled", status: 500, retryAfterMs: null, detail: "" }, "later"],
    ["401", { kind: "signed_out", problem: null }, "sign_in"],
    ["400", refused(400), "park"], ["403", refused(403), "park"], ["404", refused(404), "park"], ["409", refused(409), "park"],
    ["413", refused(413), "park"], ["422", refused(422), "park"],
    ["412", refused(412, { id: "t1", version: 3, notes: "theirs", withdrawn: null }), "park"],
    ["412 without the record", refused(412), "park"],
    ["428 of what I want anyway", refused(428, { id: "t1", version: 3, notes: "mine", withdrawn: null }), "through"],
  ])("%s", (_, answer, kind) => {
    expect(judge(entry(), answer, 0.5).kind).toBe(kind);
  });

  it("404 to an edit means that the service lost the record: it goes as new", () => {
    expect(judge(entry({ base: 4 }), refused(404), 0.5)).toEqual({ kind: "again", base: null });
  });

  it("503 and 429 speak for the whole service, 500 for one record, silence for the network", () => {
    const stop = (answer: Answer) => {
      const outcome = judge(entry(), answer, 0.5);
      return outcome.kind === "later" ? outcome.stop : null;
    };
    const troubled = (status: number): Answer => ({ kind: "troubled", status, retryAfterMs: null, detail: "" });
    expect([503, 429, 500, 502].map((status) => stop(troubled(status)))).toEqual(["pause", "pause", "no", "no"]);
    expect(stop({ kind: "unreachable", why: "" })).toBe("round");
  });
});

describe("mine and theirs", () => {
  const mine = { member_id: "m", body: { notes: "mine", finished_at: "2026-03-06T19:00:00Z" }, tried: ["2026-03-06T19:00:00.000Z"] };
  const theirs = { version: 2, withdrawn: null, notes: "theirs", updated_by: "m", recorded_at: "2026-03-06T19:00:00+00:00" };

  it.each([
    ["an earlier edition of mine: on top", theirs, { kind: "on_top", base: 2 }],
    ["somebody else's with the same time: ask", { ...theirs, updated_by: "x" }, { kind: "needs_you" }],
    ["mine from another device: ask", { ...theirs, recorded_at: "2026-03-06T19:00:01Z" }, { kind: "needs_you" }],
    ["no time at all: ask", { ...theirs, recorded_at: null }, { kind: "needs_you" }],
    ["the same content, times written differently", { ...theirs, notes: "mine", finished_at: "2026-03-06T20:00:00+01:00" }, { kind: "already_there" }],
    ["the same content, but withdrawn: ask", { ...theirs, recorded_at: null, notes: "mine", finished_at: "2026-03-06T19:00:00Z", withdrawn: { at: "" } }, { kind: "needs_you" }],
    ["an earlier edition of mine, but withdrawn: ask", { ...theirs, withdrawn: { at: "" } }, { kind: "needs_you" }],
    ["no version to go by: ask", { notes: "theirs" }, { kind: "needs_you" }],
  ])("%s", (_, current, decision) => {
    expect(reconcile(mine, current)).toEqual(decision);
  });
});
