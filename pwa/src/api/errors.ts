/** What can come of a request, as a closed union: the engine decides by kind, screens speak by code. */

/** The service's own codes for a refusal (its problem details, RFC 9457). */
export const problemCodes = [
  "not_signed_in", "wrong_sign_in", "not_allowed", "not_found", "invalid", "malformed", "precondition_missing",
  "precondition_failed", "conflict", "blind", "too_large", "unsupported_media", "too_many", "server_error",
  "unavailable",
] as const;
export type ProblemCode = (typeof problemCodes)[number];

export interface ProblemDetails {
  readonly code: string;
  readonly status: number;
  readonly title: string;
  readonly detail: string;
  readonly errors: readonly { readonly field: string; readonly message: string }[];
  /** The record as the service holds it, with 412, 428 and some 409. */
  readonly current: Readonly<Record<string, unknown>> | null;
}

export type Answer =
  /** The service did it. */
  | { readonly kind: "done"; readonly status: number; readonly body: unknown }
  /** The service will not do it, and says why. Asking again changes nothing. */
  | { readonly kind: "refused"; readonly problem: ProblemDetails }
  /** Nobody is signed in, or not any more. */
  | { readonly kind: "signed_out"; readonly problem: ProblemDetails | null }
  /** The service cannot just now (408, 425, 429, 5xx), perhaps saying when to ask again. */
  | { readonly kind: "troubled"; readonly status: number; readonly retryAfterMs: number | null; readonly detail: string }
  /** No answer, or an answer that is not the service's (a sign-in page of some guest network, a proxy's refusal). */
  | { readonly kind: "unreachable"; readonly why: string };

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const text = (value: unknown): string => (typeof value === "string" ? value : "");

/** Reads problem details; null if the body is none of the service's. */
export function readProblem(status: number, body: unknown): ProblemDetails | null {
  if (!isRecord(body) || typeof body["code"] !== "string") return null;
  const errors = Array.isArray(body["errors"]) ? body["errors"] : [];
  return {
    code: body["code"],
    status,
    title: text(body["title"]),
    detail: text(body["detail"]),
    errors: errors.filter(isRecord).map((one) => ({ field: text(one["field"]), message: text(one["message"]) })),
    current: isRecord(body["current"]) ? body["current"] : null,
  };
}

/** Retry-After (RFC 9110, 10.2.3): seconds, or a date, which is read against the answer's own Date. */
export function readRetryAfter(value: string | null, date: string | null): number | null {
  if (value === null) return null;
  if (/^\d+$/.test(value.trim())) return Number(value) * 1000;
  const until = Date.parse(value);
  const said = Date.parse(date ?? "");
  // This device's clock may be wrong by days, so a date without the answer's own Date tells nothing.
  return Number.isNaN(until) || Number.isNaN(said) ? null : Math.max(0, until - said);
}
