/** The faults of a real evening, each against the contract service of service.ts, which the real one's tests mirror. */

import { describe, expect, it } from "vitest";
import { savePhotoToQueue, setEntryAside, withdrawInQueue } from "../../src/store/outbox";
import { readOne } from "../../src/store/catalogue";
import { newPhone } from "./phone";
import { nth, Service } from "./service";

const hour = 3_600_000;
const photo = (n: number) => ({
  sha256: n.toString(16).padStart(64, "0"),
  data: new Uint8Array([n]).buffer,
  media_type: "image/jpeg",
});

describe("an evening without a signal", () => {
  it("sends fifty records and forty photos in one round, each once", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.fault = () => "before";
    for (let n = 0; n < 50; n += 1) await phone.save(`trial-${n}`, { notes: `${n}` });
    for (let n = 0; n < 40; n += 1) await savePhotoToQueue(photo(n), new Date(phone.now), phone.db);
    await phone.round();
    expect((await phone.queue()).length).toBe(90);

    service.fault = () => null;
    await phone.round("online");

    expect(await phone.queue()).toEqual([]);
    expect([...service.written.values()]).toEqual(Array(50).fill(1));
    expect([...service.photos.values()]).toEqual(Array(40).fill(1));
    expect(await phone.db.trials.count()).toBe(50);
  });

  it("sends records before photos, so that a weak signal carries grades first", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await savePhotoToQueue(photo(1), new Date(phone.now), phone.db);
    await phone.save("trial-1", { notes: "" });

    await phone.round();

    expect(service.seen.filter((one) => one.startsWith("PUT"))).toEqual(["PUT /trials/trial-1", `PUT /photos/${photo(1).sha256}`]);
  });

  it("does not knock again before the wait is over, unless asked or the signal came back", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.fault = () => "before";
    await phone.save("trial-1", { notes: "" });
    await phone.round();
    const knocks = service.seen.length;

    await phone.round("timer");
    expect(service.seen.length).toBe(knocks);

    service.fault = () => null;
    await phone.round("asked");
    expect(await phone.queue()).toEqual([]);
  });
});

describe("a queue that changes while it is sent", () => {
  it("does not send what was set aside in another tab since it was read", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    for (let n = 0; n < 3; n += 1) await phone.save(`trial-${n}`, { notes: "" });
    const second = (await phone.queue())[1]?.sequence ?? -1;
    service.afterWrite = async () => setEntryAside(phone.db, second);

    await phone.round();

    expect([...service.written.keys()].sort()).toEqual(["trial-0", "trial-2"]);
    expect((await phone.queue()).map(({ record_id, state }) => [record_id, state])).toEqual([["trial-1", "set_aside"]]);
  });

  it("sends what is saved meanwhile in the same round, however long the queue is", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    for (let n = 0; n < 60; n += 1) await phone.save(`trial-${n}`, { notes: "" });
    let saved = false;
    service.afterWrite = async () => {
      if (!saved) await phone.save("late", { notes: "" });
      saved = true;
    };

    await phone.round();

    expect(await phone.queue()).toEqual([]);
    expect(service.written.size).toBe(61);
    expect([...service.written.values()]).toEqual(Array(61).fill(1));
  });
});

describe("a round that is cut off", () => {
  it("sends a record again whose answer was lost, and it is there once", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "once" });
    service.fault = nth(1, "after");
    await phone.round();
    expect((await phone.queue())[0]?.state).toBe("waiting");
    expect(service.records.size).toBe(1);

    await phone.round("online");

    expect(await phone.queue()).toEqual([]);
    expect(service.written.get("trial-1")).toBe(1);
    expect(service.records.get("trial-1")?.version).toBe(1);
  });

  it("goes on after a tab died while sending", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "" });
    await phone.save("trial-2", { notes: "" });
    // The tab never hears the answer and is gone; its entry stays marked as being sent.
    service.afterWrite = () => new Promise(() => undefined);
    void phone.round();
    await expect.poll(async () => (await phone.queue())[0]?.state).toBe("sending");
    await expect.poll(() => service.records.size).toBe(1);

    service.afterWrite = () => Promise.resolve();
    phone.restart();
    await phone.round("start");

    expect(await phone.queue()).toEqual([]);
    expect([...service.written.values()]).toEqual([1, 1]);
  });

  it("keeps the cursor with its page: a page that was not stored is asked for again", async () => {
    const service = new Service("member-1");
    for (let n = 0; n < 25; n += 1) service.keep("stones", `stone-${n}`, { code: `S-${n}` });
    service.pageSize = 10;
    const phone = await newPhone(service);
    service.fault = nth(2, "before", (method) => method === "GET"); // the second GET is the first page
    await phone.round();
    expect([await phone.db.stones.count(), (await phone.db.note("cursor")) ?? 0]).toEqual([0, 0]);

    service.fault = nth(2, "after", (method) => method === "GET");
    await phone.round("online");
    expect([await phone.db.stones.count(), await phone.db.note("cursor")]).toEqual([10, 10]);

    service.fault = () => null;
    phone.restart();
    await phone.round("online");
    expect([await phone.db.stones.count(), await phone.db.note("cursor")]).toEqual([25, 25]);
  });

  it("two tabs sending at the same time without a lock send nothing twice", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    for (let n = 0; n < 10; n += 1) await phone.save(`trial-${n}`, { notes: "" });
    const one = phone.engine;
    phone.restart();

    await Promise.all([one.round("saved"), phone.round("saved")]);
    await phone.round("asked");

    expect(await phone.queue()).toEqual([]);
    expect([...service.written.values()]).toEqual(Array(10).fill(1));
  });
});

describe("signing in", () => {
  it("keeps everything on 401, sends nothing more, and goes on after signing in", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.round(); // The tab knows its member by now; the session ends in the middle.
    for (let n = 0; n < 5; n += 1) await phone.save(`trial-${n}`, { notes: "" });
    service.afterWrite = () => {
      if (service.records.size === 2) service.signedIn = null;
      return Promise.resolve();
    };
    await phone.round();
    expect((await phone.queue()).map((entry) => [entry.state, entry.attempts])).toEqual(Array(3).fill(["waiting", 0]));
    expect((await phone.db.note("session"))?.signed_in).toBe(false);
    const asked = service.seen.length;
    await phone.round("asked");
    expect(service.seen.length).toBe(asked);

    service.signedIn = "member-1";
    service.afterWrite = () => Promise.resolve();
    await phone.db.keep("session", { ...(await phone.db.note("session"))!, signed_in: true });
    await phone.round("signed_in");

    expect(await phone.queue()).toEqual([]);
    expect([...service.written.values()]).toEqual(Array(5).fill(1));
  });

  it("never sends one member's records as another's", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "by one" });
    await phone.db.keep("session", {
      ...(await phone.db.note("session"))!,
      member: { id: "member-2", display_name: "two", roles: ["tester"] },
    });
    service.signedIn = "member-2";
    await phone.save("trial-2", { notes: "by two" });
    await phone.round("signed_in");

    expect([...service.records.keys()]).toEqual(["trial-2"]);
    expect((await phone.queue()).map((entry) => entry.record_id)).toEqual(["trial-1"]);
  });

  it("asks to sign in when the browser's cookie is another member's", async () => {
    const service = new Service("member-2");
    const phone = await newPhone(service, "member-1");
    await phone.save("trial-1", { notes: "" });

    await phone.round();

    expect(service.records.size).toBe(0);
    expect((await phone.db.note("session"))?.signed_in).toBe(false);
  });
});

describe("a record the service refuses", () => {
  it("is parked with the reason between good ones, and goes after it was changed", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.refuses = (_, body) => (body["notes"] === "bad" ? "This cannot be." : null);
    await phone.save("trial-1", { notes: "good" });
    await phone.save("trial-2", { notes: "bad" });
    await phone.save("trial-3", { notes: "good" });
    await phone.round();

    const [parked] = await phone.queue();
    expect([...service.records.keys()]).toEqual(["trial-1", "trial-3"]);
    expect([parked?.state, parked?.problem?.code, parked?.problem?.errors]).toEqual([
      "needs_you", "invalid", [{ field: "notes", message: "This cannot be." }],
    ]);
    expect((await readOne("trial", "trial-2", phone.db))?.state).toBe("needs_you");
    await phone.round("asked");
    expect(service.seen.filter((one) => one === "PUT /trials/trial-2").length).toBe(1);

    await phone.save("trial-2", { notes: "mended" });
    await phone.round();
    expect(await phone.queue()).toEqual([]);
    expect(service.records.get("trial-2")?.["notes"]).toBe("mended");
  });

  it("holds up only what belongs to it", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.refuses = (things) => (things === "stones" ? "No." : null);
    await phone.save("stone-1", { code: "S-1" }, null, "stone");
    await phone.save("trial-1", { stone_id: "stone-1" });
    await phone.save("trial-2", { stone_id: "stone-2" });
    await phone.round();

    expect([...service.records.keys()]).toEqual(["trial-2"]);
    expect((await phone.queue()).map((entry) => entry.state)).toEqual(["needs_you", "waiting"]);

    service.refuses = () => null;
    await phone.save("stone-1", { code: "S-1a" }, null, "stone");
    await phone.round();
    expect(service.seen.slice(-3)).toEqual(["PUT /stones/stone-1", "PUT /trials/trial-1", "GET /changes"]);
    expect(await phone.queue()).toEqual([]);
  });
});

describe("a service in trouble", () => {
  it("lets one failing record wait and sends the others", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.fault = (_, path) => (path === "/trials/trial-1" ? 500 : null);
    await phone.save("trial-1", { notes: "" });
    await phone.save("trial-2", { notes: "" });
    await phone.round();
    expect([...service.records.keys()]).toEqual(["trial-2"]);
    const [entry] = await phone.queue();
    expect([entry?.state, entry?.attempts]).toEqual(["waiting", 1]);

    service.fault = () => null;
    phone.now += hour;
    await phone.round();
    expect(await phone.queue()).toEqual([]);
  });

  it("stops after three different records failed in a row", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.fault = (method) => (method === "PUT" ? 500 : null);
    for (let n = 0; n < 20; n += 1) await phone.save(`trial-${n}`, { notes: "" });
    await phone.round();
    expect(service.seen.filter((one) => one.startsWith("PUT")).length).toBe(3);
    expect((await phone.queue()).length).toBe(20);
  });

  it("honours Retry-After, also across a reload and when asked", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "" });
    service.fault = nth(1, { status: 503, retryAfter: "120" });
    await phone.round();
    const asked = service.seen.length;

    phone.now += 119_000;
    phone.restart();
    await phone.round("asked");
    expect(service.seen.length).toBe(asked);

    phone.now += 2_000;
    await phone.round();
    expect(await phone.queue()).toEqual([]);
  });

  it("does not take a guest network's page for an answer", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.round();
    await phone.save("trial-1", { notes: "" });
    service.fault = () => "portal";
    await phone.round();
    expect((await phone.queue())[0]?.state).toBe("waiting");
    expect((await phone.db.note("sync"))?.trouble).toBe("no_network");

    service.fault = () => null;
    await phone.round("online");
    expect(service.written.get("trial-1")).toBe(1);
  });

  it("fetches everything anew after it was restored from an older copy, and sends an edit it lost", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.keep("trials", "trial-1", { notes: "first" });
    service.keep("stones", "stone-1", { code: "S-1" });
    await phone.round();
    await phone.save("trial-1", { notes: "second" }, 1);
    service.records.clear();
    service.history.clear();
    service.revision = 0;

    await phone.round("asked");

    expect(service.records.get("trial-1")?.["notes"]).toBe("second");
    expect(await phone.db.stones.count()).toBe(0);
    expect(await phone.db.note("cursor")).toBe(1);
  });
});

describe("a clock that is wrong", () => {
  it.each([["a day back", -24 * hour], ["a day on", 24 * hour]])("%s after a failed send does not keep the record", async (_, jump) => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.fault = (_, path) => (path.startsWith("/trials") ? 500 : null);
    await phone.save("trial-1", { notes: "" });
    await phone.round();
    service.fault = () => null;

    phone.now += jump;
    await phone.round();

    expect(await phone.queue()).toEqual([]);
  });
});

describe("the catalogue", () => {
  it("never covers a waiting record of one's own", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.keep("trials", "trial-1", { notes: "first" });
    await phone.round();
    await phone.save("trial-1", { notes: "mine" }, 1);
    service.fault = (method) => (method === "PUT" ? 500 : null);
    service.keep("trials", "trial-1", { notes: "theirs" }, "member-2");
    await phone.round();
    const seen = await readOne("trial", "trial-1", phone.db);
    expect([seen?.record.notes, seen?.state, (await phone.db.trials.get("trial-1"))?.notes]).toEqual(["mine", "waiting", "theirs"]);
  });

  it("begins anew when the view changes, and the queue stays", async () => {
    const service = new Service("member-1");
    service.view = "dealer";
    service.keep("trials", "trial-9", { notes: "somebody's" }, "member-9");
    const phone = await newPhone(service);
    await phone.round();
    expect(await phone.db.trials.count()).toBe(1);
    await phone.save("trial-1", { notes: "mine" });
    service.fault = (method) => (method === "PUT" ? 500 : null);

    service.view = "tester";
    service.records.delete("trial-9");
    await phone.round();

    expect(await phone.db.trials.count()).toBe(0);
    expect((await phone.queue()).map((entry) => entry.record_id)).toEqual(["trial-1"]);
    expect((await phone.db.note("session"))?.view).toBe("tester");
  });
});

describe("withdrawing", () => {
  it("follows the record it belongs to, once each", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.keep("trials", "trial-1", { notes: "" });
    await phone.round();
    await withdrawInQueue("trial", "trial-1", "wrong stone", new Date(phone.now), phone.db);
    expect((await readOne("trial", "trial-1", phone.db))?.record.withdrawn?.reason).toBe("wrong stone");
    service.fault = nth(1, "after", (method) => method === "POST");
    await phone.round();
    await phone.round("online");
    expect(await phone.queue()).toEqual([]);
    expect(service.written.get("trial-1/withdraw")).toBe(1);
  });

  it("of a record that never went out sends nothing and keeps it aside", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "" });
    await withdrawInQueue("trial", "trial-1", "typed twice", new Date(phone.now), phone.db);
    await phone.round();
    expect(service.records.size).toBe(0);
    expect((await phone.queue()).map((entry) => entry.state)).toEqual(["set_aside"]);
  });
});

describe("a photo whose bytes are gone", () => {
  it("needs you instead of pretending", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await savePhotoToQueue(photo(7), new Date(phone.now), phone.db);
    await phone.db.photo_blobs.clear();
    await phone.round();
    expect((await phone.queue())[0]?.problem?.code).toBe("photo_lost");
  });
});
