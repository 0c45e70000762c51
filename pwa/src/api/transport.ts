/** One request, one answer of a closed set of kinds. `fetch` is passed in; nothing is thrown. */

import { apiBase, requestTimeoutMs } from "../constants";
import { readProblem, readRetryAfter, type Answer } from "./errors";

export interface RequestToSend {
  readonly method: "GET" | "PUT" | "POST" | "DELETE";
  /** Below the API's base, query included. */
  readonly path: string;
  readonly json?: unknown;
  readonly bytes?: { readonly data: ArrayBuffer; readonly media_type: string };
  /** Which part of the whole these bytes are (RFC 9110, 14.4). */
  readonly contentRange?: string;
  /** The version an edit was made on. */
  readonly ifMatch?: number | null;
  readonly timeoutMs?: number;
  /** What a good answer is; a refusal is JSON in any case. */
  readonly wants?: keyof typeof media | "json";
}

/** Files that the service makes. */
const media = { pdf: "application/pdf", zip: "application/zip" } as const;
const isFile = (wants: RequestToSend["wants"]): wants is keyof typeof media => wants !== undefined && wants !== "json";

export type Fetch = typeof fetch;
export type Transport = (request: RequestToSend) => Promise<Answer>;

const later = new Set([408, 425, 429]);

function headersOf(request: RequestToSend): Headers {
  const headers = new Headers({ Accept: isFile(request.wants) ? `${media[request.wants]}, application/problem+json` : "application/json" });
  // A form on another site cannot set this, so the service takes it as proof that this app asks.
  if (request.method !== "GET") headers.set("X-Whetpanel", "1");
  if (request.json !== undefined) headers.set("Content-Type", "application/json");
  if (request.bytes !== undefined) headers.set("Content-Type", request.bytes.media_type);
  if (request.contentRange !== undefined) headers.set("Content-Range", request.contentRange);
  if (request.ifMatch !== undefined && request.ifMatch !== null) headers.set("If-Match", `"${request.ifMatch}"`);
  return headers;
}

async function readBody(response: Response, wants: RequestToSend["wants"]): Promise<unknown> {
  if (response.status === 204) return null;
  const type = response.headers.get("Content-Type") ?? "";
  if (response.ok && isFile(wants)) {
    if (!type.toLowerCase().startsWith(media[wants])) throw new TypeError(`expected ${media[wants]}, got ${type || "nothing"}`);
    return response.blob();
  }
  if (!/^application\/([a-z.-]+\+)?json\b/i.test(type)) throw new TypeError(`expected JSON, got ${type || "nothing"}`);
  return response.json();
}

export function makeTransport(fetch: Fetch): Transport {
  return async (request) => {
    let response: Response;
    let body: unknown;
    try {
      response = await fetch(apiBase + request.path, {
        method: request.method,
        headers: headersOf(request),
        body: request.bytes?.data ?? (request.json === undefined ? null : JSON.stringify(request.json)),
        credentials: "same-origin",
        cache: "no-store",
        redirect: "error",
        signal: AbortSignal.timeout(request.timeoutMs ?? requestTimeoutMs),
      });
    } catch (error) {
      return { kind: "unreachable", why: String(error) };
    }
    try {
      body = await readBody(response, request.wants);
    } catch (error) {
      // The status of an answer that is not the service's says nothing about the record; 5xx still asks for patience.
      if (response.status < 500) return { kind: "unreachable", why: String(error) };
      body = null;
    }
    if (response.ok) return { kind: "done", status: response.status, body };
    const problem = readProblem(response.status, body);
    if (later.has(response.status) || response.status >= 500) {
      return {
        kind: "troubled",
        status: response.status,
        retryAfterMs: readRetryAfter(response.headers.get("Retry-After"), response.headers.get("Date")),
        detail: problem?.detail ?? "",
      };
    }
    if (problem === null) return { kind: "unreachable", why: `status ${response.status} without problem details` };
    if (response.status === 401) return { kind: "signed_out", problem };
    return { kind: "refused", problem };
  };
}
