/**
 * A service of a few dozen lines that keeps the sync contract: ids made by the sender, versions, revisions, If-Match,
 * repeated writes answered without writing. It stands in for the network in tests, with faults to order.
 */

import type { Fetch } from "../../src/api/transport";

interface StoredRecord {
  [field: string]: unknown;
  id: string;
  version: number;
  revision: number;
}

interface Write {
  readonly content: string;
  readonly base: number;
  readonly by: string;
}

/** What may go wrong with one request. "after": the service has done it, and the answer is lost. */
export type Fault = "before" | "after" | "portal" | number | { readonly status: number; readonly retryAfter: string };

const own = (body: Record<string, unknown>): string =>
  JSON.stringify(Object.entries(body).filter(([name]) => name !== "recorded_at").sort());

export class Service {
  readonly records = new Map<string, StoredRecord>();
  readonly history = new Map<string, Write[]>();
  readonly photos = new Map<string, number>();
  /** Every request that reached the service, as "PUT /trials/<id>". */
  readonly seen: string[] = [];
  revision = 0;
  view = "tester";
  signedIn: string | null;
  pageSize = 500;
  /** How many times each path was actually written. */
  readonly written = new Map<string, number>();
  /** Answers the reason to refuse a body, or null. */
  refuses: (thing: string, body: Record<string, unknown>) => string | null = () => null;
  /** Called for each request; answers a fault to commit, or null. */
  fault: (method: string, path: string) => Fault | null = () => null;
  /** Called after a write, before its answer leaves. */
  afterWrite: () => Promise<void> = () => Promise.resolve();

  constructor(memberId: string) {
    this.signedIn = memberId;
  }

  readonly fetch: Fetch = async (input, init) => {
    const url = new URL(input as string, "http://service.test");
    const path = url.pathname.replace("/api/v1", "");
    const method = init?.method ?? "GET";
    this.seen.push(`${method} ${path}`);
    const fault = this.fault(method, path);
    if (fault === "before") throw new TypeError("network");
    if (fault === "portal") return new Response("<h1>Welcome to the guest network</h1>", { headers: { "Content-Type": "text/html" } });
    if (typeof fault === "number") return problem(fault, "server_error");
    if (typeof fault === "object" && fault !== null) {
      return problem(fault.status, "unavailable", {}, { "Retry-After": fault.retryAfter });
    }
    const answer = await this.answer(method, path, url.searchParams, init ?? {});
    if (fault === "after") throw new TypeError("connection closed");
    return answer;
  };

  private async answer(method: string, path: string, query: URLSearchParams, init: RequestInit): Promise<Response> {
    if (this.signedIn === null) return problem(401, "not_signed_in");
    if (path === "/session") return json(200, { member: { id: this.signedIn } });
    if (path === "/changes") return this.changes(Number(query.get("after")));
    const [, things = "", id = "", act] = path.split("/");
    if (things === "photos") {
      this.photos.set(id, (this.photos.get(id) ?? 0) + 1);
      return json(201, { sha256: id });
    }
    const body = typeof init.body === "string" ? (JSON.parse(init.body) as Record<string, unknown>) : {};
    const match = new Headers(init.headers).get("If-Match");
    const base = match === null ? 0 : Number(match.replaceAll('"', ""));
    const answer = method === "POST" ? this.act(id, act ?? "", body) : this.put(things, id, body, base);
    await this.afterWrite();
    return answer;
  }

  private put(things: string, id: string, body: Record<string, unknown>, base: number): Response {
    const present = this.records.get(id);
    const writes = this.history.get(id) ?? [];
    const content = own(body);
    if (present === undefined && base !== 0) return problem(404, "not_found");
    if (present !== undefined) {
      const again = writes.at(-1)?.content === content ||
        writes.some((write) => write.content === content && write.base === base && write.by === this.signedIn);
      if (again) return json(200, present);
      if (base === 0) return problem(428, "precondition_missing", { current: present });
      if (base !== present.version) return problem(412, "precondition_failed", { current: present });
    }
    const refusal = this.refuses(things, body);
    if (refusal !== null) return problem(422, "invalid", { detail: refusal, errors: [{ field: "notes", message: refusal }] });
    this.history.set(id, [...writes, { content, base, by: this.signedIn ?? "" }]);
    this.written.set(id, (this.written.get(id) ?? 0) + 1);
    return json(present === undefined ? 201 : 200, this.keep(things, id, body));
  }

  private act(id: string, act: string, body: Record<string, unknown>): Response {
    const present = this.records.get(id);
    if (present === undefined) return problem(404, "not_found");
    const mark = { at: new Date(0).toISOString(), by: this.signedIn, reason: body["reason"] };
    const change = act === "withdraw" ? { withdrawn: mark } : { excluded: act === "exclude" ? mark : null };
    if (act === "withdraw" && present["withdrawn"] !== null) return json(200, present);
    this.written.set(`${id}/${act}`, (this.written.get(`${id}/${act}`) ?? 0) + 1);
    Object.assign(present, change, { version: present.version + 1, revision: ++this.revision });
    return json(200, present);
  }

  /** Writes a record as somebody else would, or as this member from another device. */
  keep(things: string, id: string, body: Record<string, unknown>, by: string | null = this.signedIn): StoredRecord {
    const version = (this.records.get(id)?.version ?? 0) + 1;
    const record: StoredRecord = {
      withdrawn: null, created_by: by, created_at: "2026-01-01T00:00:00Z", updated_at: "2026-01-01T00:00:00Z",
      recorded_at: null, ...body, updated_by: by, id, version, revision: ++this.revision, thing: things.replace(/s$/, ""),
    };
    this.records.set(id, record);
    return record;
  }

  private changes(after: number): Response {
    const later = [...this.records.values()].filter((one) => one.revision > after).sort((a, b) => a.revision - b.revision);
    const page = later.slice(0, this.pageSize);
    return json(200, {
      changes: page.map((record) => ({ thing: record["thing"], id: record.id, revision: record.revision, record })),
      next_after: page.at(-1)?.revision ?? Math.min(after, this.revision),
      more: later.length > page.length,
      view: this.view,
    });
  }
}

const json = (status: number, body: unknown): Response =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });

const problem = (status: number, code: string, more: Record<string, unknown> = {}, headers: Record<string, string> = {}): Response =>
  new Response(JSON.stringify({ type: "about:blank", title: code, status, detail: "", code, ...more }), {
    status,
    headers: { "Content-Type": "application/problem+json", ...headers },
  });

/** A fault for the nth request that asks `when`, and none before or after. */
export const nth = (n: number, fault: Fault, when: (method: string) => boolean = (method) => method === "PUT") => {
  let count = 0;
  return (method: string): Fault | null => (when(method) && ++count === n ? fault : null);
};
