import { webcrypto } from "node:crypto";
import { describe, expect, it } from "vitest";
import { savePhotoToQueue } from "../../src/store/outbox";
import { openDraft, setDraftValue } from "../../src/store/drafts";
import { NotAQueueFile, readQueueFile, writeQueueFile } from "../../src/sync/queue_file";
import { newPhone, type Phone } from "./phone";
import { Service } from "./service";

const when = new Date("2026-03-06T22:00:00Z");

async function realPhoto(bytes: readonly number[]) {
  const data = Uint8Array.from(bytes).buffer;
  const hash = new Uint8Array(await webcrypto.subtle.digest("SHA-256", data));
  return { sha256: Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join(""), data, media_type: "image/webp" };
}

async function fullPhone(service: Service): Promise<Phone> {
  const phone = await newPhone(service);
  await phone.save("a1", { notes: "one" });
  await phone.save("a2", { notes: "two" });
  await savePhotoToQueue(await realPhoto([1, 2, 3, 250]), when, phone.db);
  await openDraft({ key: "trial:s1", kind: "trial", about_id: "s1" }, phone.db);
  await setDraftValue("trial:s1", "grades.hardness", 3.5, phone.db);
  return phone;
}

describe("the queue as a file", () => {
  it("comes back whole on another phone, and is on the service once", async () => {
    const service = new Service("member-1");
    const file = await writeQueueFile(when, (await fullPhone(service)).db);
    const other = await newPhone(service);

    expect(await readQueueFile(file, when, other.db)).toEqual({ records: 3, photos: 1, drafts: 1, present: 0, others: [] });

    await other.round();
    expect(await other.queue()).toEqual([]);
    expect([...service.written.values()]).toEqual([1, 1]);
    expect(service.photos.size).toBe(1);
    expect((await other.db.drafts.toArray())[0]?.values).toEqual({ "grades.hardness": 3.5 });
  });

  it("read twice, before and after sending, on both phones, changes nothing", async () => {
    const service = new Service("member-1");
    const phone = await fullPhone(service);
    const file = await writeQueueFile(when, phone.db);
    const other = await newPhone(service);
    for (const one of [phone, other, phone, other]) {
      await readQueueFile(file, when, one.db);
      await one.round("asked");
      await readQueueFile(file, when, one.db);
      expect((await readQueueFile(file, when, one.db)).records).toBe(0);
      await one.round("asked");
      expect(await one.queue()).toEqual([]);
    }
    expect([...service.written.values()]).toEqual([1, 1]);
    expect([...service.records.values()].map((record) => record.version)).toEqual([1, 1]);
  });

  it("an older file never covers a later edit: the earlier version is set aside", async () => {
    const service = new Service("member-1");
    const phone = await fullPhone(service);
    const file = await writeQueueFile(when, phone.db);
    phone.now += 60_000;
    await phone.save("a1", { notes: "one, later" });

    await readQueueFile(file, when, phone.db);

    expect((await phone.queue()).filter((entry) => entry.record_id === "a1").map(({ state, body }) => [state, body?.["notes"]])).toEqual([
      ["waiting", "one, later"], ["set_aside", "one"],
    ]);
  });

  it("keeps the owner's name on records of another member and does not send them", async () => {
    const service = new Service("member-2");
    const file = await writeQueueFile(when, (await fullPhone(new Service("member-1"))).db);
    const other = await newPhone(service, "member-2");
    expect((await readQueueFile(file, when, other.db)).others).toEqual(["member-1"]);
    await other.round();
    expect(service.records.size).toBe(0);
    expect((await other.queue()).length).toBe(3);
  });

  it.each<[string, (file: string) => string]>([
    ["not JSON", () => "shopping list"],
    ["another JSON", () => "{}"],
    ["a newer edition", (file) => file.replace('"edition":1', '"edition":2')],
    ["a path of its own", (file) => file.replaceAll("/trials/a1", "/trials/../session")],
    ["a photo that was changed", (file) => file.replace(/"base64":"[^"]*"/, '"base64":"AAAA"')],
    ["a record without an owner", (file) => file.replace('"member_id":"member-1"', '"member_id":7')],
  ])("%s is refused with a sentence and changes nothing", async (_, spoil) => {
    const phone = await fullPhone(new Service("member-1"));
    const file = await writeQueueFile(when, phone.db);
    const other = await newPhone(new Service("member-1"));
    await expect(readQueueFile(spoil(file), when, other.db)).rejects.toThrow(NotAQueueFile);
    expect(await other.queue()).toEqual([]);
    expect(await other.db.photo_blobs.count()).toBe(0);
  });
});
