/**
 * A whole evening of faults drawn by lot: lost requests, lost answers, 500, 503, guest networks, reloads, ended
 * sessions, edits in between, two phones of one member. Whatever happens, in the end each record is on the service
 * exactly once with its writer's last word, and no phone holds anything back.
 */

import { describe, expect, it } from "vitest";
import { newPhone } from "./phone";
import { Service, type Fault } from "./service";

/** Mulberry32, a small public-domain generator: the same storm for the same seed. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

async function storm(seed: number) {
  const random = chance(seed);
  const pick = <T,>(from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
  const service = new Service("member-1");
  service.pageSize = 7;
  service.fault = (): Fault | null =>
    random() < 0.55 ? null : pick<Fault>(["before", "after", "after", "portal", 500, { status: 503, retryAfter: "30" }]);
  const phones = [await newPhone(service, "member-1", random), await newPhone(service, "member-1", random)];
  const wanted = new Map<string, string>();
  let lost = 0;

  for (let turn = 0; turn < 60; turn += 1) {
    const which = turn % 2;
    const phone = phones[which]!;
    const dice = random();
    if (turn < 40 && dice < 0.5) {
      // A new record, or another edit of one this phone wrote before.
      const own = [...wanted.keys()].filter((id) => id.startsWith(`trial-${which}`));
      const id = own.length > 0 && random() < 0.4 ? pick(own) : `trial-${which}-${turn}`;
      const notes = `turn ${turn}`;
      await phone.save(id, { notes }, (await phone.db.trials.get(id))?.version ?? null);
      wanted.set(id, notes);
    }
    if (dice > 0.9) phone.restart();
    if (dice > 0.95) {
      service.signedIn = null;
      await phone.round("asked");
      service.signedIn = "member-1";
      await phone.db.keep("session", { ...(await phone.db.note("session"))!, signed_in: true });
      lost += 1;
    }
    phone.now += Math.floor(random() * 90_000) - 10_000;
    await phone.round(pick(["timer", "saved", "online", "asked"] as const));
  }

  service.fault = () => null;
  for (const phone of phones) {
    phone.now += 3 * 3_600_000;
    await phone.round("asked");
    await phone.round("asked");
  }
  return { service, phones, wanted, lost };
}

describe("a storm of faults", () => {
  it.each(Array.from({ length: 25 }, (_, n) => n + 1))("seed %i loses nothing and doubles nothing", async (seed) => {
    const { service, phones, wanted } = await storm(seed);

    for (const phone of phones) expect(await phone.queue()).toEqual([]);
    const there = new Map([...service.records.values()].map((record) => [record.id, record["notes"]]));
    expect(there).toEqual(wanted);
    for (const [id, times] of service.written) {
      // Each write made a version, each version was a write: nothing was written twice.
      expect(service.records.get(id)?.version).toBe(times);
      const contents = service.history.get(id)!.map((write) => write.content);
      expect(contents).toEqual([...new Set(contents)]);
    }
    for (const phone of phones) expect(await phone.db.trials.count()).toBe(wanted.size);
  });
});
