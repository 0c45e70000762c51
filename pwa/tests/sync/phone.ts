/** A phone for tests: its own database, an engine, and a clock that moves only when told. */

import { makeTransport } from "../../src/api/transport";
import { WhetpanelDb, type QueueEntry, type Session } from "../../src/store/db";
import { saveToQueue } from "../../src/store/outbox";
import { catalogueOf, restartCatalogue } from "../../src/store/pulled";
import { makeEngine, type Engine, type Reason } from "../../src/sync/engine";
import { noLock } from "../../src/sync/lock";
import type { Service } from "./service";

let phones = 0;
const evening = Date.parse("2026-03-06T19:00:00Z");

export interface Phone {
  readonly db: WhetpanelDb;
  now: number;
  engine: Engine;
  /** As a new tab or a reload: nothing but the database survives. */
  restart(): void;
  round(reason?: Reason): Promise<void>;
  save(id: string, body: Record<string, unknown>, base?: number | null, thing?: "trial" | "stone", made_on?: string | null): Promise<void>;
  queue(): Promise<QueueEntry[]>;
}

export async function newPhone(service: Service, memberId = "member-1", random: () => number = () => 0.5): Promise<Phone> {
  const db = new WhetpanelDb(`phone-${++phones}`);
  const session: Session = {
    member: { id: memberId, display_name: memberId, roles: ["tester"] },
    club: { id: "club-1", name: "Club", slug: "club", invented: true },
    view: "tester",
    signed_in: true,
  };
  // As signing in leaves it.
  await db.keep("session", session);
  await restartCatalogue(db, catalogueOf(session));
  const transport = makeTransport(service.fetch);
  const engine = () => makeEngine({ db, transport, now: () => phone.now, random, lock: noLock });
  const phone: Phone = {
    db,
    now: evening,
    engine: undefined as never,
    restart: () => {
      phone.engine = engine();
    },
    round: (reason = "timer") => phone.engine.round(reason),
    save: (id, body, base = null, thing = "trial", made_on = null) =>
      saveToQueue({ thing, record_id: id, body, base, made_on }, null, new Date(phone.now), db),
    queue: () => db.outbox.orderBy("sequence").toArray(),
  };
  phone.restart();
  return phone;
}
