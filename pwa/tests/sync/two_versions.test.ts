/** Two versions of one record: a choice is asked for only where there is one, and neither is lost. */

import { describe, expect, it } from "vitest";
import { changeEntry, versionOf, yieldToTheirs } from "../../src/store/outbox";
import { readOne } from "../../src/store/catalogue";
import { newPhone } from "./phone";
import { nth, Service } from "./service";

describe("two versions of one record", () => {
  async function twoDevices() {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    service.keep("trials", "trial-1", { notes: "first" });
    await phone.round();
    await phone.save("trial-1", { notes: "mine" }, 1);
    service.keep("trials", "trial-1", { notes: "theirs" }, "member-1");
    await phone.round();
    const [entry] = await phone.queue();
    return { service, phone, entry: entry! };
  }

  it("shows both and sends neither over the other", async () => {
    const { service, phone, entry } = await twoDevices();
    expect([entry.state, entry.problem?.code, entry.theirs?.["notes"]]).toEqual(["needs_you", "precondition_failed", "theirs"]);
    expect(service.records.get("trial-1")?.["notes"]).toBe("theirs");
    const seen = await readOne("trial", "trial-1", phone.db);
    expect([seen?.record.notes, seen?.state]).toEqual(["mine", "needs_you"]);
  });

  it("mine can go on top of theirs", async () => {
    const { service, phone, entry } = await twoDevices();
    await changeEntry(phone.db, entry.sequence!, (one) => ({ state: "waiting", base: versionOf(one.theirs), theirs: null }));
    await phone.round();
    expect(await phone.queue()).toEqual([]);
    expect([service.records.get("trial-1")?.["notes"], service.records.get("trial-1")?.version]).toEqual(["mine", 3]);
  });

  it("theirs can stay, and mine is set aside instead of deleted", async () => {
    const { service, phone, entry } = await twoDevices();
    await yieldToTheirs(phone.db, entry.sequence!);
    await phone.round("asked");
    const seen = await readOne("trial", "trial-1", phone.db);
    expect([seen?.record.notes, seen?.state]).toEqual(["theirs", "sent"]);
    expect((await phone.queue()).map(({ state, body }) => [state, body])).toEqual([["set_aside", { notes: "mine" }]]);
    expect(service.records.get("trial-1")?.version).toBe(2);
  });

  it("an edit made while they stand against each other does not decide between them", async () => {
    const { phone, service } = await twoDevices();
    await phone.save("trial-1", { notes: "mine, again" }, 1);
    await phone.round();
    expect((await phone.queue())[0]?.state).toBe("needs_you");
    expect(service.records.get("trial-1")?.["notes"]).toBe("theirs");
  });

  it("an edit made while the first form is on its way follows it", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "one" });
    service.afterWrite = async () => {
      service.afterWrite = () => Promise.resolve();
      await phone.save("trial-1", { notes: "two" });
    };
    await phone.round();
    expect(await phone.queue()).toEqual([]);
    expect([service.records.get("trial-1")?.["notes"], service.records.get("trial-1")?.version]).toEqual(["two", 2]);
  });

  it("an edit begun before its record went out goes on top of it without a question", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "first" });
    const begunOn = (await readOne("trial", "trial-1", phone.db))?.record;
    expect(begunOn?.version).toBe(0);
    await phone.round();
    await phone.save("trial-1", { notes: "changed" }, null, "trial", begunOn?.recorded_at ?? null);
    await phone.round();

    expect(await phone.queue()).toEqual([]);
    expect(service.records.get("trial-1")).toMatchObject({ notes: "changed", version: 2 });
  });

  it("an edit begun before another device changed the record asks", async () => {
    const service = new Service("member-1");
    const [phone, other] = [await newPhone(service), await newPhone(service)];
    await phone.save("trial-1", { notes: "first" });
    const begunOn = (await readOne("trial", "trial-1", phone.db))?.record;
    await phone.round();
    await other.round();
    other.now += 1000;
    await other.save("trial-1", { notes: "the other device" }, 1);
    await other.round();
    await phone.save("trial-1", { notes: "changed" }, null, "trial", begunOn?.recorded_at ?? null);
    await phone.round();

    expect((await phone.queue()).map((entry) => entry.state)).toEqual(["needs_you"]);
    expect(service.records.get("trial-1")).toMatchObject({ notes: "the other device", version: 2 });
  });

  it("an edit of a record whose first answer was lost goes on top of it without a question", async () => {
    const service = new Service("member-1");
    const phone = await newPhone(service);
    await phone.save("trial-1", { notes: "one" });
    service.fault = nth(1, "after");
    await phone.round();
    await phone.save("trial-1", { notes: "two" });
    await phone.round("online");
    expect(await phone.queue()).toEqual([]);
    expect([service.records.get("trial-1")?.["notes"], service.records.get("trial-1")?.version]).toEqual(["two", 2]);
  });
});
