import { describe, expect, it } from "vitest";
import { readRetryAfter } from "../../src/api/errors";
import { makeTransport, type Fetch } from "../../src/api/transport";

const answering = (response: () => Response | Promise<Response>) => {
  const sent: { url: string; init: RequestInit }[] = [];
  const fetch: Fetch = (input, init) => {
    sent.push({ url: input as string, init: init ?? {} });
    return Promise.resolve(response());
  };
  return { transport: makeTransport(fetch), sent };
};
const json = (status: number, body: unknown, headers: Record<string, string> = {}) =>
  new Response(status === 204 ? null : JSON.stringify(body), { status, headers: { "Content-Type": "application/problem+json", ...headers } });

describe("what is sent", () => {
  it("an unsafe request carries the header a foreign form cannot set, and the version in quotes (RFC 9110, 8.8.3)", async () => {
    const { transport, sent } = answering(() => json(200, {}));
    await transport({ method: "PUT", path: "/trials/t1", json: { notes: "ü" }, ifMatch: 3 });
    const headers = new Headers(sent[0]?.init.headers);
    expect(sent[0]?.url).toBe("/api/v1/trials/t1");
    expect([headers.get("X-Whetpanel"), headers.get("If-Match"), headers.get("Content-Type"), sent[0]?.init.body]).toEqual([
      "1", '"3"', "application/json", '{"notes":"ü"}',
    ]);
  });

  it("a new record names no version, a reading request sets no extra header", async () => {
    const { transport, sent } = answering(() => json(200, {}));
    await transport({ method: "PUT", path: "/x", json: {}, ifMatch: null });
    await transport({ method: "GET", path: "/x" });
    expect(new Headers(sent[0]?.init.headers).has("If-Match")).toBe(false);
    expect(new Headers(sent[1]?.init.headers).has("X-Whetpanel")).toBe(false);
    expect(sent[1]?.init.redirect).toBe("error");
  });
});

describe("a PDF that is asked for", () => {
  const pdf = (status: number, type: string) => new Response("%PDF-1.7", { status, headers: { "Content-Type": type } });
  const ask = { method: "POST", path: "/labels", json: {}, wants: "pdf" } as const;

  it("comes as bytes", async () => {
    const { transport, sent } = answering(() => pdf(200, "application/pdf"));
    const answer = await transport(ask);
    expect(new Headers(sent[0]?.init.headers).get("Accept")).toContain("application/pdf");
    expect(answer.kind === "done" && answer.body instanceof Blob && (await answer.body.text())).toBe("%PDF-1.7");
  });

  it("is not taken from a page of some guest network, and a refusal stays a refusal", async () => {
    const page = answering(() => pdf(200, "text/html"));
    expect((await page.transport(ask)).kind).toBe("unreachable");
    const refused = answering(() => json(422, { code: "invalid", status: 422, detail: "No.", errors: [] }));
    expect((await refused.transport(ask)).kind).toBe("refused");
  });
});

describe("what an answer is", () => {
  it.each<[string, () => Response, object]>([
    ["200", () => json(200, { id: "x" }), { kind: "done", status: 200, body: { id: "x" } }],
    ["204", () => json(204, null), { kind: "done", status: 204, body: null }],
    ["401", () => json(401, { code: "not_signed_in" }), { kind: "signed_out" }],
    ["a refusal with current", () => json(412, { code: "precondition_failed", current: { version: 2 } }),
      { kind: "refused", problem: { code: "precondition_failed", status: 412, current: { version: 2 } } }],
    ["a refusal with fields", () => json(422, { code: "invalid", errors: [{ field: "face", message: "Say which." }, 7] }),
      { kind: "refused", problem: { errors: [{ field: "face", message: "Say which." }] } }],
    ["429", () => json(429, { code: "too_many" }, { "Retry-After": "30" }), { kind: "troubled", status: 429, retryAfterMs: 30_000 }],
    ["500 in JSON", () => json(500, { code: "server_error" }), { kind: "troubled", status: 500 }],
    ["502 from a proxy", () => new Response("<h1>Bad gateway</h1>", { status: 502 }), { kind: "troubled", status: 502 }],
    ["404 from a proxy", () => new Response("nope", { status: 404 }), { kind: "unreachable" }],
    ["403 in JSON that is not ours", () => json(403, { error: "blocked" }), { kind: "unreachable" }],
    ["a guest network's page", () => new Response("<html>", { headers: { "Content-Type": "text/html" } }), { kind: "unreachable" }],
    ["half a body", () => new Response('{"id":', { headers: { "Content-Type": "application/json" } }), { kind: "unreachable" }],
  ])("%s", async (_, response, expected) => {
    const { transport } = answering(response);
    expect(await transport({ method: "GET", path: "/x" })).toMatchObject(expected);
  });

  it("a request that dies is an answer too, never a throw", async () => {
    const { transport } = answering(() => Promise.reject(new TypeError("Failed to fetch")));
    expect((await transport({ method: "GET", path: "/x" })).kind).toBe("unreachable");
  });

  it("a request without an answer is given up after its time", async () => {
    const transport = makeTransport(
      (_, init) => new Promise((_done, fail) => init?.signal?.addEventListener("abort", () => fail(init.signal?.reason as Error))),
    );
    expect((await transport({ method: "GET", path: "/x", timeoutMs: 20 })).kind).toBe("unreachable");
  });
});

describe("Retry-After (RFC 9110, 10.2.3)", () => {
  it("in seconds, or as a date against the answer's own", () => {
    expect(readRetryAfter("120", null)).toBe(120_000);
    // The RFC's own example date, one minute after a Date header of that day.
    expect(readRetryAfter("Fri, 31 Dec 1999 23:59:59 GMT", "Fri, 31 Dec 1999 23:58:59 GMT")).toBe(60_000);
    expect(readRetryAfter("Fri, 31 Dec 1999 23:59:59 GMT", null)).toBeNull();
    expect(readRetryAfter("soon", "Fri, 31 Dec 1999 23:58:59 GMT")).toBeNull();
    expect(readRetryAfter(null, null)).toBeNull();
  });
});
