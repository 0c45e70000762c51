import { Dexie } from "dexie";
import { expect, it } from "vitest";
import { WhetpanelDb } from "../../src/store/db";

/** The shape phones held before repairs and lappings travelled. Written out here: it must never change again. */
const firstShape = {
  clubs: "id", members: "id", lots: "id", stones: "id, code, lot_id", blades: "id", protocols: "id", rule_sets: "id",
  inspections: "id, stone_id", trials: "id, stone_id, created_by", check_stones: "id, stone_id", photos: "id",
  drafts: "[member_id+key], member_id", outbox: "++sequence, path, record_id, thing, state", photo_blobs: "sha256", meta: "name",
};

it("keeps a full queue, drafts and photos through the change of shape, and asks for the changes anew", async () => {
  const old = new Dexie("old-phone");
  old.version(1).stores(firstShape);
  const entries = Array.from({ length: 500 }, (_, i) => ({ thing: "trial", record_id: `t${i}`, path: `/trials/t${i}`, state: "waiting", body: { notes: `n${i}` } }));
  await old.table("outbox").bulkAdd(entries);
  await old.table("drafts").add({ member_id: "m1", key: "trial:s1", values: { notes: "half" } });
  await old.table("photo_blobs").add({ sha256: "a".repeat(64), data: new ArrayBuffer(8), media_type: "image/webp" });
  await old.table("stones").add({ id: "s1", code: "A-1" });
  await old.table("meta").add({ name: "cursor", value: 812 });
  old.close();

  const db = new WhetpanelDb("old-phone");

  expect((await db.outbox.toArray()).map(({ record_id, body }) => ({ record_id, body }))).toEqual(
    entries.map(({ record_id, body }) => ({ record_id, body })),
  );
  expect([await db.drafts.count(), await db.photo_blobs.count(), await db.stones.count()]).toEqual([1, 1, 1]);
  expect([await db.note("cursor"), await db.repairs.count(), await db.lappings.count(), await db.slips.count()]).toEqual([0, 0, 0, 0]);
});

it("asks for the slips that the second shape passed by", async () => {
  const second = new Dexie("second-phone");
  second.version(1).stores(firstShape);
  second.version(2).stores({ repairs: "id, stone_id", lappings: "id, stone_id" });
  await second.table("meta").add({ name: "cursor", value: 812 });
  await second.table("outbox").add({ thing: "trial", record_id: "t1", path: "/trials/t1", state: "waiting", body: {} });
  second.close();

  const db = new WhetpanelDb("second-phone");

  expect([await db.note("cursor"), await db.outbox.count(), await db.slips.count()]).toEqual([0, 1, 0]);
});

it("asks for the assignments and hand-overs that the third shape passed by", async () => {
  const third = new Dexie("third-phone");
  third.version(1).stores(firstShape);
  third.version(2).stores({ repairs: "id, stone_id", lappings: "id, stone_id" });
  third.version(3).stores({ slips: "id, stone_id" });
  await third.table("meta").add({ name: "cursor", value: 812 });
  await third.table("outbox").add({ thing: "slip", record_id: "g1", path: "/slips/g1", state: "waiting", body: {} });
  third.close();

  const db = new WhetpanelDb("third-phone");

  expect([await db.note("cursor"), await db.outbox.count(), await db.assignments.count(), await db.hand_overs.count()]).toEqual([0, 1, 0, 0]);
});

it("asks for the offers and consents that the fourth shape passed by", async () => {
  const fourth = new Dexie("fourth-phone");
  fourth.version(1).stores(firstShape);
  fourth.version(2).stores({ repairs: "id, stone_id", lappings: "id, stone_id" });
  fourth.version(3).stores({ slips: "id, stone_id" });
  fourth.version(4).stores({ assignments: "id, stone_id, tester_id", hand_overs: "id, stone_id" });
  await fourth.table("meta").add({ name: "cursor", value: 812 });
  await fourth.table("outbox").add({ thing: "trial", record_id: "t1", path: "/trials/t1", state: "waiting", body: {} });
  fourth.close();

  const db = new WhetpanelDb("fourth-phone");

  expect([await db.note("cursor"), await db.outbox.count(), await db.offers.count(), await db.consents.count()]).toEqual([0, 1, 0, 0]);
});
