/**
 * The local store: everything the app shows comes from here, everything it keeps goes here first.
 *
 * How a screen uses it
 *   read    const seen = useLive(() => readAll("stone"), []);            store/live.ts, store/catalogue.ts
 *           Each item is { record, state, ... }: the member's own waiting record lies over the served one,
 *           state is "sent", "waiting" or "needs_you". `undefined` means: not read yet.
 *   write   await saveRecord("trial", newId(), body, null);              sync/commands.ts
 *   drafts  const draft = useLive(() => readDraft(key), [key]);          store/drafts.ts
 *           await setDraftValue(key, "grades.hardness", 3.5);            (saved the moment it is set)
 *
 * A change of shape is a new `version(n)` below, never an edit of an old one: phones in drawers still hold it.
 * A version that adds a catalogue table must set the cursor back to 0, because the old app skipped its records.
 */

import { Dexie, type EntityTable, type Table } from "dexie";
import { databaseName } from "../constants";
import type { Board } from "../domain/board";
import type { Calibration } from "../domain/calibration";
import type { Found, Steels } from "../domain/match";
import type { Plan, PlannedTrial, PlanWish } from "../domain/plan";
import type { Pooled } from "../domain/pooled";
import type { Review } from "../domain/review";
import type { MatchWish, Member, Purpose, Records, Role, Thing, Club } from "../domain/records";

export type QueueState = "waiting" | "sending" | "needs_you" | "set_aside";

/** Why a record needs its writer, in the service's words. */
export interface Problem {
  /** The service's code (see api/errors.ts) or one of ours. */
  readonly code: string;
  readonly status: number;
  readonly title: string;
  readonly detail: string;
  readonly errors: readonly { readonly field: string; readonly message: string }[];
}

/** Whose queue an entry is in. Another member signing in on this phone never sends it as theirs. */
export interface Owner {
  readonly member_id: string;
  readonly member_name: string;
  readonly club_id: string;
}

/** One write that waits for the service. */
export interface QueueEntry extends Owner {
  /** Order of saving; made by the database. */
  sequence?: number;
  readonly thing: Thing;
  /** The record's id; for a photo its SHA-256. */
  readonly record_id: string;
  /** put: the record itself; the others are single acts on it. */
  readonly act: "put" | "withdraw" | "exclude" | "include" | "photo";
  /** Below the API's base, for instance /trials/<id>. */
  readonly path: string;
  body: Readonly<Record<string, unknown>> | null;
  /** The version this edit started from; null for a new record. */
  base: number | null;
  /** Counts the saves of this entry, so that an answer to an earlier one is not taken for the latest. */
  edition: number;
  /** When the writer saved this edition, by this device's clock. */
  recorded_at: string;
  /** recorded_at of own editions that the service may hold: they went out unanswered, or this one was made on them. */
  tried: readonly string[];
  state: QueueState;
  attempts: number;
  /** By this device's clock, ms since 1970. A clock that was set back shows by now < tried_at. */
  tried_at: number | null;
  next_try_at: number | null;
  /** The last thing that went wrong, also for entries that simply wait. */
  problem: Problem | null;
  /** The service's current record, when it differs from the one this edit started from. */
  theirs: Readonly<Record<string, unknown>> | null;
}

/** A half-typed form. */
export interface Draft {
  /** Chosen by the screen, for instance trial:<stone id>. One draft per key and member. */
  readonly key: string;
  readonly member_id: string;
  readonly kind: string;
  /** The stone (or other record) it is about. */
  readonly about_id: string | null;
  /** The id the finished record will have, made once, so that sending twice sends one record. */
  readonly record_id: string;
  readonly values: Readonly<Record<string, unknown>>;
  readonly started_at: string;
  readonly touched_at: string;
}

export interface StoredPhoto {
  readonly sha256: string;
  readonly data: ArrayBuffer;
  readonly media_type: string;
  readonly kept_at: string;
}

/** Who works on this phone. Kept, so that the app opens without a signal. */
export interface Session {
  readonly member: Pick<Member, "id" | "display_name" | "roles">;
  readonly club: Pick<Club, "id" | "name" | "slug" | "invented">;
  readonly view: string;
  /** False after the service answered 401: everything still works here, nothing is sent. */
  readonly signed_in: boolean;
}

export type Trouble = "no_network" | "server_trouble" | "signed_out";

/** What the last rounds of sync came to. Times by this device's clock. */
export interface SyncNotes {
  readonly pulled_at: string | null;
  readonly trouble: Trouble | null;
  /** The service asked for patience: nothing is sent before, ms since 1970. */
  readonly paused_until: number | null;
}

/** Single values, by name. */
export interface Meta {
  /** Up to this revision the catalogue is complete. */
  cursor: number;
  /** Whose catalogue it is: club, member and view. A difference means starting again from 0. */
  catalogue_of: string;
  session: Session;
  sync: SyncNotes;
  /** Signed out here while the service could not be reached; it must still be told. */
  sign_out_owed: boolean;
  persist_asked: boolean;
  last_sign_in: { readonly club: string; readonly sign_in_name: string };
  /** The last pooled answers, see store/pooled.ts. Can be fetched again. */
  pooled: KeptPooled;
  /** The last answers on the member's own calibration, see store/calibration.ts. Can be fetched again. */
  calibration: KeptCalibration;
  /** The last plans of trials, see store/plan.ts. */
  plan: KeptPlan;
  /** The last lot boards, see store/board.ts. Can be fetched again. */
  board: KeptBoard;
  /** The last stones reviewed, see store/review.ts. Can be fetched again. */
  review: KeptReviews;
  /** What a wish is made of, and the last answer to one, see store/match.ts. Can be fetched again. */
  match: KeptMatch;
}

/** The service's last answers on pooled grades, and whose they are. Never leaves the phone. */
export interface KeptPooled {
  /** As catalogue_of. */
  readonly whose: string;
  readonly answers: Partial<Readonly<Record<Purpose, { readonly read_at: string; readonly answer: Pooled }>>>;
}

/** Where every stone stood, by purpose. Dealers and stewards only; shown to nobody else who signs in here. */
export interface KeptBoard {
  /** As catalogue_of. */
  readonly whose: string;
  readonly answers: Partial<Readonly<Record<Purpose, { readonly read_at: string; readonly answer: Board }>>>;
}

/** By stone and purpose. Dealers and stewards only; they name every tester's grades. */
export interface KeptReviews {
  /** As catalogue_of. */
  readonly whose: string;
  readonly answers: Readonly<Record<string, { readonly read_at: string; readonly answer: Review }>>;
}

/** Dealers and stewards only; shown to nobody else who signs in here. */
export interface KeptMatch {
  /** As catalogue_of. */
  readonly whose: string;
  readonly steels: Steels | null;
  readonly last: { readonly read_at: string; readonly wish: MatchWish; readonly answer: Found } | null;
}

export interface KeptCalibration {
  /** As catalogue_of. */
  readonly whose: string;
  readonly answers: Partial<Readonly<Record<Purpose, { readonly read_at: string; readonly answer: Calibration }>>>;
}

/**
 * The last plan for each purpose, and the last for one stone alone, with what they were asked for: who takes part is
 * much the same the next time.
 */
export interface KeptPlan {
  /** As catalogue_of. */
  readonly whose: string;
  readonly answers: Readonly<Record<string, OnePlan>>;
}

/** Earlier versions of the app kept less of a plan; store/plan.ts fills it in. */
export interface OnePlan {
  readonly read_at: string;
  readonly wish: PlanWish;
  readonly answer: Pick<Plan, "purpose" | "scale" | "target_half_width"> & Partial<Pick<Plan, "groups" | "underway" | "left_out">> & {
    readonly trials: readonly (Pick<PlannedTrial, "tester_id" | "stone_id" | "steel" | "expected_gain" | "half_width_before" | "half_width_after"> & Partial<PlannedTrial>)[];
  };
  readonly own?: readonly string[];
  readonly proposed_at?: string;
}

type Row = { [N in keyof Meta]: { readonly name: N; readonly value: Meta[N] } }[keyof Meta];

export class WhetpanelDb extends Dexie {
  // The catalogue: the service's records as last pulled. Can be fetched again, so it may be emptied.
  declare clubs: EntityTable<Records["club"], "id">;
  declare members: EntityTable<Records["member"], "id">;
  declare lots: EntityTable<Records["lot"], "id">;
  declare stones: EntityTable<Records["stone"], "id">;
  declare blades: EntityTable<Records["blade"], "id">;
  declare protocols: EntityTable<Records["protocol"], "id">;
  declare rule_sets: EntityTable<Records["rule_set"], "id">;
  declare inspections: EntityTable<Records["inspection"], "id">;
  declare trials: EntityTable<Records["trial"], "id">;
  declare repairs: EntityTable<Records["repair"], "id">;
  declare lappings: EntityTable<Records["lapping"], "id">;
  declare check_stones: EntityTable<Records["check_stone"], "id">;
  declare assignments: EntityTable<Records["assignment"], "id">;
  declare hand_overs: EntityTable<Records["hand_over"], "id">;
  /** Published grades. The service sends them to dealers and stewards only. */
  declare slips: EntityTable<Records["slip"], "id">;
  /** What stones cost and fetch. The service sends them to dealers and stewards only. */
  declare offers: EntityTable<Records["offer"], "id">;
  declare consents: EntityTable<Records["consent"], "id">;
  /** Stones found for buyers. The service sends them to dealers and stewards only. */
  declare shortlists: EntityTable<Records["shortlist"], "id">;
  declare photos: EntityTable<Records["photo"], "id">;

  // Own work. Exists nowhere else until it is sent; nothing but its writer's word may remove it.
  /** Half-typed forms. Never leave the phone. */
  declare drafts: Table<Draft, [string, string]>;
  /** Records that wait. Leave the phone one by one, and only for their owner. */
  declare outbox: EntityTable<QueueEntry, "sequence">;
  /** Photos taken here, by content. Sent once; kept to be seen without a signal. */
  declare photo_blobs: EntityTable<StoredPhoto, "sha256">;

  /** Cursor, session and other single values. Never leave the phone. */
  declare meta: Table<Row, keyof Meta>;

  constructor(name: string = databaseName) {
    super(name);
    this.version(1).stores({
      clubs: "id",
      members: "id",
      lots: "id",
      stones: "id, code, lot_id",
      blades: "id",
      protocols: "id",
      rule_sets: "id",
      inspections: "id, stone_id",
      trials: "id, stone_id, created_by",
      check_stones: "id, stone_id",
      photos: "id",
      drafts: "[member_id+key], member_id",
      outbox: "++sequence, path, record_id, thing, state",
      photo_blobs: "sha256",
      meta: "name",
    });
    // Repairs and lappings. The cursor goes back, because the old app passed them by; own work is not touched.
    this.version(2)
      .stores({ repairs: "id, stone_id", lappings: "id, stone_id" })
      .upgrade((change) => change.table<Row>("meta").put({ name: "cursor", value: 0 }));
    // Slips, for the same reason.
    this.version(3)
      .stores({ slips: "id, stone_id" })
      .upgrade((change) => change.table<Row>("meta").put({ name: "cursor", value: 0 }));
    // Assignments and hand-overs, likewise.
    this.version(4)
      .stores({ assignments: "id, stone_id, tester_id", hand_overs: "id, stone_id" })
      .upgrade((change) => change.table<Row>("meta").put({ name: "cursor", value: 0 }));
    // Offers, consents and shortlists, likewise.
    this.version(5)
      .stores({ offers: "id", consents: "id", shortlists: "id" })
      .upgrade((change) => change.table<Row>("meta").put({ name: "cursor", value: 0 }));
  }

  async note<N extends keyof Meta>(name: N): Promise<Meta[N] | null> {
    const row = await this.meta.get(name);
    return (row?.value as Meta[N] | undefined) ?? null;
  }

  async keep<N extends keyof Meta>(name: N, value: Meta[N]): Promise<void> {
    await this.meta.put({ name, value } as Row);
  }
}

/** The table that holds a kind of record. */
export const tableNames = {
  club: "clubs",
  member: "members",
  lot: "lots",
  stone: "stones",
  blade: "blades",
  protocol: "protocols",
  rule_set: "rule_sets",
  inspection: "inspections",
  trial: "trials",
  repair: "repairs",
  lapping: "lappings",
  check_stone: "check_stones",
  assignment: "assignments",
  hand_over: "hand_overs",
  slip: "slips",
  offer: "offers",
  consent: "consents",
  shortlist: "shortlists",
  photo: "photos",
} as const satisfies Record<Thing, keyof WhetpanelDb>;

export const catalogueTables: readonly string[] = Object.values(tableNames);

export function tableOf<T extends Thing>(db: WhetpanelDb, thing: T): Table<Records[T], string> {
  return db.table(tableNames[thing]);
}

export const mayDeal = (session: Session | null | undefined): boolean =>
  session?.member.roles.some((role: Role) => role !== "tester") ?? false;

/** The one database of the app. Functions of the store take another one in tests. */
export const db = new WhetpanelDb();
