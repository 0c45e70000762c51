import "fake-indexeddb/auto";
import { beforeEach, describe, expect, it } from "vitest";
import { aheadBudget, aheadRoundPhotos } from "../../src/constants";
import { photosAhead } from "../../src/domain/photos_ahead";
import { WhetpanelDb, type Session } from "../../src/store/db";
import { isDear, makeAhead, type Fetched, type Line } from "../../src/sync/photos_ahead";

const budget = { most: 100, ofNear: 3, ofOther: 1 };
const of = (stone_id: string, revision: number, ...hashes: string[]) => ({ stone_id, revision, photos: hashes.map((sha256) => ({ sha256 })) });

describe("which photos are worth having", () => {
  it("puts stones in hand first and gives each its newest photo before any gets its second", () => {
    const records = [of("far", 9, "far-new"), of("a", 1, "a-old"), of("a", 5, "a-new"), of("b", 3, "b-new", "b-second")];
    expect(photosAhead(records, new Set(["a", "b"]), budget)).toEqual(["a-new", "b-new", "a-old", "b-second", "far-new"]);
  });

  it("takes the lately changed of the other stones, and of each no more than its share", () => {
    const records = [of("old", 1, "old-1"), of("new", 8, "new-1", "new-2"), of("middle", 4, "middle-1")];
    expect(photosAhead(records, new Set(), { ...budget, most: 2 })).toEqual(["new-1", "middle-1"]);
  });

  it("names a photo once, however many records show it", () => {
    expect(photosAhead([of("a", 2, "one"), of("a", 1, "one", "two")], new Set(["a"]), budget)).toEqual(["one", "two"]);
  });
});

describe("whether a line is dear", () => {
  it.each<[string, Line | undefined, boolean]>([
    ["a browser that does not tell", undefined, false],
    ["save data", { saveData: true, type: "wifi" }, true],
    ["paid by the amount", { saveData: false, type: "cellular", effectiveType: "4g" }, true],
    ["thin", { effectiveType: "slow-2g" }, true],
    ["wifi", { saveData: false, type: "wifi", effectiveType: "4g" }, false],
  ])("%s", (_, line, dear) => expect(isDear(line)).toBe(dear));
});

let phones = 0;
let db: WhetpanelDb;
/** The cache, the service and the line of one phone. */
let cache: Set<string>;
let asked: string[];
let service: (sha256: string) => Fetched;
let line: Line | undefined;
let room: boolean;

const here: Fetched = { kind: "here", bytes: 10_000 };
const ahead = () =>
  makeAhead({
    db,
    fetchThumb: (sha256) => {
      asked.push(sha256);
      const answer = service(sha256);
      if (answer.kind === "here") cache.add(sha256);
      return Promise.resolve(answer);
    },
    held: (hashes) => Promise.resolve(new Set(hashes.filter((one) => cache.has(one)))),
    line: () => line,
    hasRoom: () => Promise.resolve(room),
  });

const session: Session = {
  member: { id: "me", display_name: "Me", roles: ["tester"] },
  club: { id: "c", name: "Club", slug: "club", invented: true },
  view: "tester",
  signed_in: true,
};
const inspection = (id: string, stone_id: string, revision: number, ...hashes: string[]) =>
  ({ id, withdrawn: null, created_by: "other", ...of(stone_id, revision, ...hashes) }) as never;

beforeEach(async () => {
  db = new WhetpanelDb(`ahead-${++phones}`);
  await db.keep("session", session);
  await db.keep("catalogue_of", "c me tester");
  await db.keep("cursor", 7);
  await db.inspections.bulkPut([inspection("i1", "s1", 1, "p1"), inspection("i2", "s2", 2, "p2"), inspection("i3", "s3", 3, "p3")]);
  [cache, asked, service, line, room] = [new Set(), [], () => here, undefined, true];
});

describe("fetching ahead", () => {
  it("fetches what is missing, the stone in hand first, and asks for nothing twice", async () => {
    await db.hand_overs.put({ id: "h", stone_id: "s1", holder_id: "me", handed_at: "2026-03-01T10:00:00Z", withdrawn: null } as never);
    cache.add("p2");
    const phone = ahead();
    expect(await phone.run()).toEqual({ stopped: "done", fetched: 2, left: 0 });
    expect(asked).toEqual(["p1", "p3"]);
    expect((await phone.run()).stopped).toBe("nothing_new");
    expect(asked.length).toBe(2);
  });

  it("counts a stone that is asked of this member as in hand, until its trial is made", async () => {
    await db.protocols.put({ id: "kp", purpose: "knife", withdrawn: null } as never);
    await db.assignments.put({ id: "a", stone_id: "s1", tester_id: "me", purpose: "knife", steel: null, created_at: "2026-03-01T10:00:00Z", due_on: null, withdrawn: null } as never);
    await ahead().run();
    expect(asked).toEqual(["p1", "p3", "p2"]);
    await db.trials.put({ id: "t", stone_id: "s1", created_by: "me", protocol_id: "kp", blade_id: "b", finished_at: "2026-03-02T10:00:00Z", photos: [], revision: 8, withdrawn: null } as never);
    [cache, asked] = [new Set(), []];
    await ahead().run();
    expect(asked).toEqual(["p3", "p2", "p1"]);
  });

  it("leaves alone what was taken on this phone and what was withdrawn", async () => {
    await db.photo_blobs.put({ sha256: "p1", data: new ArrayBuffer(1), media_type: "image/jpeg", kept_at: "" });
    await db.inspections.update("i2", { withdrawn: { at: "", by: "", reason: "" } });
    await ahead().run();
    expect(asked).toEqual(["p3"]);
  });

  it("stops at the first trouble and goes on there after a later round", async () => {
    service = (sha256) => (sha256 === "p2" ? { kind: "later" } : here);
    const phone = ahead();
    expect(await phone.run()).toEqual({ stopped: "trouble", fetched: 1, left: 2 });
    service = () => here;
    expect(await phone.run()).toEqual({ stopped: "done", fetched: 2, left: 0 });
    expect(asked).toEqual(["p3", "p2", "p2", "p1"]);
  });

  it("does not ask again for a picture the service does not have", async () => {
    service = () => ({ kind: "gone" });
    const phone = ahead();
    await phone.run();
    await db.keep("cursor", 8);
    expect(await phone.run()).toEqual({ stopped: "done", fetched: 0, left: 0 });
    expect(asked.length).toBe(3);
  });

  it("fetches no more in one quiet run than its budget, and the rest in the next", async () => {
    const many = Array.from({ length: 30 }, (_, i) => inspection(`m${i}`, `stone-${i}`, 10 + i, `a${i}`, `b${i}`, `c${i}`, `d${i}`));
    await db.inspections.bulkPut(many);
    const phone = ahead();
    const wanted = 30 * aheadBudget.ofOther + 3;
    expect(await phone.run()).toEqual({ stopped: "budget", fetched: aheadRoundPhotos, left: wanted - aheadRoundPhotos });
    expect((await phone.run()).stopped).toBe("done");
    expect(cache.size).toBe(wanted);
  });

  it("stops when a run has cost its share of bytes", async () => {
    service = () => ({ kind: "here", bytes: 2_000_000 });
    expect(await ahead().run()).toEqual({ stopped: "budget", fetched: 2, left: 1 });
  });

  it("fetches nothing over a dear line unless the member asks, and nothing without room or session", async () => {
    line = { type: "cellular" };
    expect((await ahead().run()).stopped).toBe("dear_line");
    expect(await ahead().run(true)).toEqual({ stopped: "done", fetched: 3, left: 0 });
    [line, room, cache, asked] = [undefined, false, new Set(), []];
    expect((await ahead().run(true)).stopped).toBe("no_room");
    room = true;
    await db.keep("session", { ...session, signed_in: false });
    expect((await ahead().run(true)).stopped).toBe("not_signed_in");
    expect(asked).toEqual([]);
  });

  it("stops when another member takes the phone over meanwhile", async () => {
    const phone = ahead();
    service = () => {
      void db.keep("catalogue_of", "c other tester");
      return here;
    };
    expect((await phone.run()).stopped).toBe("not_signed_in");
    expect(asked.length).toBeLessThan(3);
  });
});
