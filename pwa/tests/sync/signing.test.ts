import { describe, expect, it } from "vitest";
import type { Transport } from "../../src/api/transport";
import { isStorageFull, readFlags, StorageFull, withRoom } from "../../src/sync/flags";
import { leaseLock, noLock } from "../../src/sync/lock";
import { countWaiting, signInWith, signOutWith } from "../../src/sync/signing";
import { newPhone } from "./phone";
import { Service } from "./service";

const answer = (id: string) => ({
  kind: "done" as const,
  status: 200,
  body: {
    member: { id, display_name: id, roles: ["tester"] },
    club: { id: "club-1", name: "Club", slug: "club", invented: true },
    view: "tester",
  },
});
const fields = { club: "", sign_in_name: "x", password: "y" };

describe("signing in", () => {
  it("as the same member keeps the copy, as another empties it and keeps the queue", async () => {
    const phone = await newPhone(new Service("member-1"));
    await phone.db.stones.put({ id: "s1", revision: 1 } as never);
    await phone.save("trial-1", {});
    const signIn = (id: string) => signInWith({ db: phone.db, lock: noLock, transport: () => Promise.resolve(answer(id)) }, fields);

    expect(await signIn("member-1")).toEqual({ kind: "in" });
    expect(await phone.db.stones.count()).toBe(1);
    expect(await signIn("member-2")).toEqual({ kind: "in" });
    expect([await phone.db.stones.count(), (await phone.queue()).length]).toEqual([0, 1]);
    expect((await phone.db.note("session"))?.member.id).toBe("member-2");
  });

  it("that fails leaves everything as it was", async () => {
    const phone = await newPhone(new Service("member-1"));
    const before = await phone.db.note("session");
    const say = async (transport: Transport) => (await signInWith({ db: phone.db, lock: noLock, transport }, fields)).kind;
    expect(await say(() => Promise.resolve({ kind: "unreachable", why: "" }))).toBe("unreachable");
    expect(await say(() => Promise.resolve({ kind: "signed_out", problem: null }))).toBe("wrong");
    expect(await say(() => Promise.resolve({ kind: "troubled", status: 429, retryAfterMs: 60_000, detail: "" }))).toBe("too_many");
    expect(await say(() => Promise.resolve({ kind: "done", status: 200, body: { something: "else" } }))).toBe("troubled");
    expect((await phone.db.note("session"))?.member).toEqual(before?.member);
  });

  it("cut off between cookie and session leaves nobody signed in, so nothing goes out under the wrong name", async () => {
    const phone = await newPhone(new Service("member-1"));
    void signInWith({ db: phone.db, lock: noLock, transport: () => new Promise(() => undefined) }, fields);
    await expect.poll(async () => (await phone.db.note("session"))?.signed_in).toBe(false);
  });
});

describe("signing out", () => {
  it("in the middle of a long round stops it after the request that is on its way", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    for (let n = 0; n < 20; n += 1) await phone.save(`trial-${n}`, {});
    let turn: Promise<unknown> = Promise.resolve();
    const lock = <T,>(work: () => Promise<T>): Promise<T> => {
      const mine = turn.then(work);
      turn = mine.catch(() => undefined);
      return mine;
    };
    service.afterWrite = async () => {
      if (service.records.size === 3) void signOutWith({ db: phone.db, lock });
      await new Promise((done) => setTimeout(done, 5));
    };
    await lock(() => phone.round());
    await turn;
    expect(service.records.size).toBeLessThan(6);
    expect([await phone.db.note("session"), service.records.size + (await phone.queue()).length]).toEqual([null, 20]);
  });

  it("keeps what is not sent, tells the service when it can, and the work goes on after signing in again", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "" });
    expect(await countWaiting(phone.db)).toBe(1);
    service.fault = () => "before";
    await signOutWith({ db: phone.db, lock: noLock });
    await phone.round("asked");
    expect([await phone.db.note("session"), (await phone.queue()).length, await phone.db.note("sign_out_owed")]).toEqual([null, 1, true]);

    service.fault = () => null;
    await phone.round("online");
    expect(service.seen.at(-1)).toBe("DELETE /session");
    expect(service.records.size).toBe(0);
    expect(await phone.db.note("sign_out_owed")).toBe(false);

    await signInWith({ db: phone.db, lock: noLock, transport: () => Promise.resolve(answer("member-1")) }, fields);
    await phone.round("signed_in");
    expect([service.written.get("trial-1"), (await phone.queue()).length]).toEqual([1, 0]);
  });
});

describe("a full phone", () => {
  it("is known however deep the database wrapped it, becomes a state, and passes when there is room again", async () => {
    const deep = Object.assign(new Error("abort"), { name: "AbortError", inner: Object.assign(new Error(""), { name: "QuotaExceededError" }) });
    expect([isStorageFull(deep), isStorageFull(new Error("other")), isStorageFull(null)]).toEqual([true, false, false]);
    await expect(withRoom(() => Promise.reject(deep))).rejects.toThrow(StorageFull);
    expect(readFlags().storageFull).toBe(true);
    await expect(withRoom(() => Promise.reject(new RangeError("other")))).rejects.toThrow(RangeError);
    await withRoom(() => Promise.resolve());
    expect(readFlags().storageFull).toBe(false);
  });

  it("lets go first of what can be fetched again, and tries once more", async () => {
    const full = Object.assign(new Error(""), { name: "QuotaExceededError" });
    let room = false;
    const write = () => (room ? Promise.resolve("saved") : Promise.reject(full));
    expect(await withRoom(write, () => Promise.resolve((room = true)))).toBe("saved");
    let tries = 0;
    const never = () => { tries += 1; return Promise.reject(full); };
    await expect(withRoom(never, () => Promise.resolve(true))).rejects.toThrow(StorageFull);
    expect(tries).toBe(2);
    await withRoom(() => Promise.resolve());
  });

  it("a save that found no room changes nothing", async () => {
    const phone = await newPhone(new Service("member-1"));
    phone.db.outbox.hook("creating", () => {
      throw Object.assign(new Error("full"), { name: "QuotaExceededError" });
    });
    await expect(withRoom(() => phone.save("trial-1", {}))).rejects.toThrow(StorageFull);
    expect(await phone.queue()).toEqual([]);
    await withRoom(() => Promise.resolve());
  });
});

describe("where there are no Web Locks", () => {
  function shelf() {
    const kept = new Map<string, string>();
    return {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    };
  }

  it("one tab waits for the other, and takes over from one that died", async () => {
    const storage = shelf();
    let time = 0;
    const order: string[] = [];
    const sleep = (ms: number) => { time += ms; return new Promise<void>((done) => setTimeout(done, 0)); };
    const [one, two] = ["one", "two"].map((name) => leaseLock(storage, name, () => time, sleep));
    let finish: () => void = () => undefined;
    const first = one!(async () => {
      order.push("one begins");
      await new Promise<void>((done) => { finish = done; });
      order.push("one ends");
    });
    const second = two!(() => { order.push("two"); return Promise.resolve(); });
    finish();
    await Promise.all([first, second]);
    expect(order).toEqual(["one begins", "one ends", "two"]);

    storage.setItem("whetpanel.sync-lease", `dead ${time + 30_000}`);
    await two!(() => { order.push("after the dead"); return Promise.resolve(); });
    expect(order.at(-1)).toBe("after the dead");
  });

  it("a lease written before the clock was set back does not last for days", async () => {
    const storage = shelf();
    storage.setItem("whetpanel.sync-lease", "dead 86400000");
    let slept = 0;
    const lock = leaseLock(storage, "me", () => 0, () => { slept += 1; return Promise.resolve(); });
    await lock(() => Promise.resolve());
    expect(slept).toBe(0);
  });
});

