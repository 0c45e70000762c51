import { beforeEach, describe, expect, it } from "vitest";
import { practiceKind } from "../../src/constants";
import { findStoneByCode, readAll, readOne, readPhotoBlob } from "../../src/store/catalogue";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { dropDraft, openDraft, readDraft, readDrafts, setDraftValue, setDraftValues } from "../../src/store/drafts";
import {
  enqueue, excludeInQueue, NobodySignedIn, putEntryBack, readOthersWaiting, readQueue, saveAllToQueue, savePhotoToQueue, saveToQueue, setEntryAside, settleEntry,
} from "../../src/store/outbox";
import { keepPracticePhoto, letGoOfSentPhotos, letPracticePhotosGo, readPhotoStock } from "../../src/store/photos";
import { writeQueueFile } from "../../src/sync/queue_file";
import { applyPage, catalogueOf, restartCatalogue } from "../../src/store/pulled";
import { ownFields, pathOf, type Stone, type Trial } from "../../src/domain/records";

const now = new Date("2026-03-06T19:00:00Z");
let count = 0;
let db: WhetpanelDb;
const session = (id = "m1"): Session => ({
  member: { id, display_name: `Member ${id}`, roles: ["tester"] },
  club: { id: "c1", name: "Club", slug: "club", invented: true },
  view: "tester",
  signed_in: true,
});
const served = (id: string, more: Record<string, unknown> = {}) => ({
  id, version: 1, revision: 1, recorded_at: null, created_by: "m1", created_at: "", updated_at: "", updated_by: "m1", withdrawn: null, ...more,
});
const put = (id: string, body: Record<string, unknown>, base: number | null = null) =>
  saveToQueue({ thing: "trial", record_id: id, body, base }, null, now, db);

beforeEach(async () => {
  db = new WhetpanelDb(`store-${++count}`);
  await db.keep("session", session());
});

describe("the merged picture", () => {
  it("shows a new record as waiting, with its own fields and what the service will add still empty", async () => {
    await put("t1", { stone_id: "s1", grades: { hardness: 3 } });
    const [seen] = await readAll("trial", { where: { stone_id: "s1" } }, db);
    expect([seen?.state, seen?.record.version, seen?.record.created_by, seen?.record.excluded, seen?.record.grades]).toEqual([
      "waiting", 0, "m1", null, { hardness: 3 },
    ]);
  });

  it("lays an edit over the served record and leaves the served one as it is", async () => {
    await db.trials.put(served("t1", { stone_id: "s1", notes: "old", grades: { hardness: 3 } }) as unknown as Trial);
    await put("t1", { stone_id: "s1", notes: "new" }, 1);
    const seen = await readOne("trial", "t1", db);
    expect([seen?.record.notes, seen?.record.version, seen?.state]).toEqual(["new", 1, "waiting"]);
    expect((await db.trials.get("t1"))?.notes).toBe("old");
  });

  it("follows an edit that moves a record to another stone", async () => {
    await db.trials.put(served("t1", { stone_id: "s1" }) as unknown as Trial);
    await put("t1", { stone_id: "s2" }, 1);
    expect(await readAll("trial", { where: { stone_id: "s1" } }, db)).toEqual([]);
  });

  it("hides withdrawn records unless they are asked for", async () => {
    await db.trials.put(served("t1", { withdrawn: { at: "", by: "m1", reason: "" } }) as unknown as Trial);
    expect((await readAll("trial", {}, db)).length).toBe(0);
    expect((await readAll("trial", { withdrawn: true }, db)).length).toBe(1);
  });

  it("shows nobody else's waiting records", async () => {
    await put("t1", { notes: "" });
    await db.keep("session", session("m2"));
    expect(await readAll("trial", {}, db)).toEqual([]);
    expect(await readQueue(db)).toEqual([]);
    expect(await readOthersWaiting(db)).toEqual([{ name: "Member m1", count: 1 }]);
  });

  it("finds a stone by its code however it is typed", async () => {
    await db.stones.put(served("s1", { code: "ALD-07" }) as unknown as Stone);
    for (const typed of ["ALD-07", "ald 07", " ald07 "]) expect((await findStoneByCode(typed, db))?.record.id).toBe("s1");
    for (const typed of ["", "ald-7", "07"]) expect(await findStoneByCode(typed, db)).toBeNull();
  });
});

describe("many records at once", () => {
  const lot = { thing: "lot", record_id: "l1", body: { code: "L1" }, base: null } as const;
  const stone = (n: number) => ({ thing: "stone", record_id: `s${n}`, body: { code: `N-${n}`, lot_id: "l1" }, base: null }) as const;
  const stones = [1, 2, 3].map(stone);
  const begin = () => openDraft({ key: "intake", kind: "intake", about_id: null, values: { rows: [1, 2, 3, 4] } }, db);

  it("go in together, in order, and leave of the draft what was left out", async () => {
    await begin();
    await saveAllToQueue([lot, ...stones], { key: "intake", left: { rows: [4] } }, now, db);
    expect((await readQueue(db)).map((entry) => [entry.path, entry.state, entry.act])).toEqual([
      ["/lots/l1", "waiting", "put"], ["/stones/s1", "waiting", "put"], ["/stones/s2", "waiting", "put"], ["/stones/s3", "waiting", "put"],
    ]);
    expect((await readDraft("intake", db))?.values).toEqual({ rows: [4] });
    await saveAllToQueue([], { key: "intake", left: null }, now, db);
    expect(await readDraft("intake", db)).toBeNull();
  });

  it("do not go in at all when one of them cannot be kept; the draft stays whole", async () => {
    await begin();
    // A function cannot be cloned into the store (HTML, structured clone), so this one write must fail.
    const broken = { ...stone(3), body: { code: () => "N-3" } };
    await expect(saveAllToQueue([lot, ...stones, broken], { key: "intake", left: null }, now, db)).rejects.toThrow();
    expect(await readQueue(db)).toEqual([]);
    expect((await readDraft("intake", db))?.values).toEqual({ rows: [1, 2, 3, 4] });
  });

  it("saved twice are one entry each", async () => {
    await saveAllToQueue([lot, ...stones], { key: "intake", left: null }, now, db);
    await saveAllToQueue([lot, ...stones], { key: "intake", left: null }, now, db);
    expect((await readQueue(db)).map((entry) => [entry.record_id, entry.edition])).toEqual([["l1", 2], ["s1", 2], ["s2", 2], ["s3", 2]]);
  });

  it("belong to whoever is signed in", async () => {
    await db.meta.delete("session");
    await expect(saveAllToQueue([lot], { key: "intake", left: null }, now, db)).rejects.toThrow(NobodySignedIn);
  });
});

describe("the queue", () => {
  it("keeps one entry per record and tells its editions apart though the clock stands still", async () => {
    await put("t1", { notes: "one" });
    await put("t1", { notes: "two" });
    const [entry, ...rest] = await readQueue(db);
    expect(rest).toEqual([]);
    expect([entry?.edition, entry?.body, entry?.base, entry?.recorded_at]).toEqual([
      2, { notes: "two" }, null, "2026-03-06T19:00:00.001Z",
    ]);
  });

  it("belongs to somebody: nothing is saved when nobody is signed in", async () => {
    await db.meta.delete("session");
    await expect(put("t1", { notes: "" })).rejects.toThrow(NobodySignedIn);
  });

  it("takes a draft away with the record it became, or neither", async () => {
    await openDraft({ key: "trial:s1", kind: "trial", about_id: "s1" }, db);
    await saveToQueue({ thing: "trial", record_id: "t1", body: {}, base: null }, "trial:s1", now, db);
    expect(await readDraft("trial:s1", db)).toBeNull();

    await openDraft({ key: "trial:s1", kind: "trial", about_id: "s1" }, db);
    await db.outbox.clear();
    const broken = { f: () => undefined }; // cannot be stored
    await expect(saveToQueue({ thing: "trial", record_id: "t2", body: broken, base: null }, "trial:s1", now, db)).rejects.toThrow();
    expect(await readDraft("trial:s1", db)).not.toBeNull();
    expect(await readQueue(db)).toEqual([]);
  });

  it("sets aside and puts back; what took its place is set aside in turn", async () => {
    await put("t1", { notes: "one" });
    const [first] = await readQueue(db);
    await setEntryAside(db, first!.sequence!);
    await put("t1", { notes: "two" });
    await putEntryBack(db, first!.sequence!);
    expect((await readQueue(db)).map(({ state, body }) => [state, body?.["notes"]])).toEqual([["waiting", "one"], ["set_aside", "two"]]);
  });

  it("keeps the last word of leaving out and taking back in", async () => {
    await excludeInQueue("t1", "burnt edge", now, db);
    await excludeInQueue("t1", null, now, db);
    await excludeInQueue("t1", "burnt edge after all", now, db);
    expect((await readQueue(db)).map(({ act, body }) => [act, body])).toEqual([["exclude", { reason: "burnt edge after all" }]]);
  });

  it("queues a photo once, whatever number of records name it", async () => {
    const photo = { sha256: "ab", data: new Uint8Array([1]).buffer, media_type: "image/png" };
    await savePhotoToQueue(photo, now, db);
    await savePhotoToQueue(photo, now, db);
    expect((await readQueue(db)).length).toBe(1);
    expect((await readPhotoBlob("ab", db))?.type).toBe("image/png");
  });

  it("an answer that comes late does not cover what a page of changes brought meanwhile", async () => {
    await enqueue({ thing: "trial", record_id: "t1", act: "put", body: {}, base: null }, now, db);
    const [entry] = await readQueue(db);
    await db.trials.put(served("t1", { revision: 9, notes: "newer" }) as unknown as Trial);
    await settleEntry(db, entry!.sequence!, "trial", { record: { id: "t1", revision: 5, notes: "older" }, change: () => "remove" });
    expect((await db.trials.get("t1"))?.notes).toBe("newer");
    expect(await readQueue(db)).toEqual([]);
  });
});

describe("photos on the phone", () => {
  it("go oldest first once sent; what waits, is set aside or named in a draft stays", async () => {
    const photo = (sha256: string) => ({ sha256, data: new ArrayBuffer(10), media_type: "image/png" });
    for (const [n, name] of ["sent-old", "sent-new", "waits", "aside", "draft"].entries()) {
      await savePhotoToQueue(photo(name), new Date(now.getTime() + n * 1000), db);
    }
    for (const entry of await readQueue(db)) {
      if (entry.record_id === "aside") await setEntryAside(db, entry.sequence!);
      else if (entry.record_id !== "waits") await db.outbox.delete(entry.sequence);
    }
    await openDraft({ key: "k", kind: "trial", about_id: null, values: { photos: [{ sha256: "draft" }] } }, db);
    const left = async () => (await db.photo_blobs.toCollection().primaryKeys()).sort();

    const stock = await readPhotoStock(db);
    expect(stock.sent.count + stock.needed.count).toBe(await db.photo_blobs.count());
    expect(await letGoOfSentPhotos(20, db)).toBe(0);
    expect(await letGoOfSentPhotos(10, db)).toBe(1);
    expect(await left()).toEqual(["aside", "draft", "sent-new", "waits"]);
    expect(await letGoOfSentPhotos(0, db)).toBe(1);
    expect(await readPhotoStock(db)).toEqual({ sent: { count: 0, bytes: 0 }, needed: stock.needed });
    expect(await left()).toEqual(["aside", "draft", "waits"]);
  });
});

describe("the catalogue", () => {
  const change = (id: string, revision: number, more = {}) => ({ thing: "stone", id, revision, record: served(id, { revision, ...more }) });

  it("takes a page only where the cursor stands", async () => {
    await restartCatalogue(db, catalogueOf(session()));
    expect(await applyPage(db, { changes: [change("s1", 4)], next_after: 4 }, 0)).toBe(true);
    expect(await applyPage(db, { changes: [change("s0", 1)], next_after: 1 }, 0)).toBe(false);
    expect([await db.note("cursor"), await db.stones.count()]).toEqual([4, 1]);
  });

  it("skips kinds of record it does not know and keeps newer ones it has", async () => {
    await db.stones.put(served("s1", { revision: 9, code: "new" }) as unknown as Stone);
    await applyPage(db, { changes: [change("s1", 4, { code: "old" }), { ...change("x", 5), thing: "teapot" }], next_after: 5 }, 0);
    expect([(await db.stones.get("s1"))?.code, await db.note("cursor")]).toEqual(["new", 5]);
  });

  it("starting anew leaves queue, drafts and photos alone", async () => {
    await put("t1", {});
    await openDraft({ key: "k", kind: "trial", about_id: null }, db);
    await savePhotoToQueue({ sha256: "ab", data: new ArrayBuffer(1), media_type: "image/png" }, now, db);
    await db.stones.put(served("s1") as unknown as Stone);
    await restartCatalogue(db, "someone else");
    expect([await db.stones.count(), await db.outbox.count(), await db.drafts.count(), await db.photo_blobs.count()]).toEqual([0, 2, 1, 1]);
  });
});

describe("drafts", () => {
  it("begin once, keep their record's id, and keep every value", async () => {
    const draft = await openDraft({ key: "k", kind: "trial", about_id: "s1" }, db);
    await setDraftValue("k", "grades.hardness", 3.5, db);
    await setDraftValues("k", { face: "front", notes: "x" }, db);
    await setDraftValue("k", "notes", undefined, db);
    const again = await openDraft({ key: "k", kind: "trial", about_id: "s1" }, db);
    expect([again.record_id, again.values]).toEqual([draft.record_id, { "grades.hardness": 3.5, face: "front" }]);
    expect(draft.record_id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7/); // RFC 9562, version 7
  });

  it("lose nothing when values are set faster than they are stored", async () => {
    await openDraft({ key: "k", kind: "trial", about_id: null }, db);
    await Promise.all(Array.from({ length: 20 }, (_, n) => setDraftValue("k", `v${n}`, n, db)));
    expect(Object.keys((await readDraft("k", db))?.values ?? {}).length).toBe(20);
  });

  it("are each member's own", async () => {
    await openDraft({ key: "k", kind: "trial", about_id: null }, db);
    await db.keep("session", session("m2"));
    expect(await readDraft("k", db)).toBeNull();
    await openDraft({ key: "k", kind: "trial", about_id: null }, db);
    await dropDraft("k", db);
    await db.keep("session", session("m1"));
    expect((await readDrafts(db)).length).toBe(1);
  });
});

describe("records and paths", () => {
  it("a record's own fields are those its writer sets", () => {
    const trial = served("t1", { notes: "x", excluded: null, grades: {} }) as unknown as Trial;
    expect(ownFields("trial", trial)).toEqual({ notes: "x", grades: {} });
  });

  it("every path is one of the service's own description", async () => {
    const { readFile } = await import("node:fs/promises");
    const described = JSON.parse(await readFile(new URL("../../../server/whetpanel/web/openapi.json", import.meta.url), "utf8")) as {
      paths: Record<string, object>;
    };
    const things = ["club", "member", "lot", "stone", "blade", "protocol", "rule_set", "inspection", "trial", "check_stone"] as const;
    for (const thing of things) {
      const path = `/api/v1${pathOf(thing, "ID")}`.replace("ID", "{record_id}");
      expect(Object.keys(described.paths)).toContain(path);
      expect(described.paths[path]).toHaveProperty("put");
    }
  });
});

describe("photos of a practice trial", () => {
  const photo = (sha256: string) => ({ sha256, data: new ArrayBuffer(3), media_type: "image/jpeg" });

  it("are kept here, in no queue and in no file of what waits", async () => {
    await keepPracticePhoto(photo("p1"), now, db);
    await openDraft({ key: "practice", kind: practiceKind, about_id: "practice", values: { photos: [{ sha256: "p1" }] } }, db);
    expect([await db.photo_blobs.count(), await db.outbox.count()]).toEqual([1, 0]);
    expect((JSON.parse(await writeQueueFile(now, db)) as { drafts: unknown[] }).drafts).toEqual([]);
  });

  it("go with it, save those that a record waits for or another form names", async () => {
    await savePhotoToQueue(photo("queued"), now, db);
    for (const one of ["alone", "named"]) await keepPracticePhoto(photo(one), now, db);
    await openDraft({ key: "trial:s1", kind: "trial", about_id: "s1", values: { photos: [{ sha256: "named" }] } }, db);
    await letPracticePhotosGo(["queued", "alone", "named"], "practice", db);
    expect(await db.photo_blobs.toCollection().primaryKeys()).toEqual(["named", "queued"]);
  });
});
