/**
 * Sends a photo. A small one goes whole. A large one goes in pieces, each of which is kept by the service, so that a
 * signal that comes and goes still carries it: the next try asks how far the service got and goes on from there.
 */

import type { Answer } from "../api/errors";
import type { Transport } from "../api/transport";
import { photoPieceBytes, photoTimeoutMs } from "../constants";

export interface PhotoToSend {
  readonly data: ArrayBuffer;
  readonly media_type: string;
}

interface Received {
  /** Bytes that the service holds from the start without a gap. */
  readonly bytes: number;
  readonly complete: boolean;
}

function readReceived(answer: Answer): Received | null {
  if (answer.kind !== "done" || typeof answer.body !== "object" || answer.body === null) return null;
  const { received, complete } = answer.body as { readonly received?: unknown; readonly complete?: unknown };
  return typeof received === "number" && Number.isInteger(received) && received >= 0 ? { bytes: received, complete: complete === true } : null;
}

/** @param path the photo's own, below the API's base */
export async function sendPhoto(transport: Transport, path: string, photo: PhotoToSend): Promise<Answer> {
  const { data, media_type } = photo;
  const total = data.byteLength;
  if (total <= photoPieceBytes) return transport({ method: "PUT", path, bytes: photo, timeoutMs: photoTimeoutMs });

  const asked = await transport({ method: "GET", path: `${path}/received` });
  // A refusal says only that the service cannot tell; then it begins at the start, and pieces may come twice.
  if (asked.kind !== "done" && asked.kind !== "refused") return asked;
  const held = readReceived(asked);
  if (held?.complete === true) return asked;
  // More than there is cannot be of this photo; the hash will judge.
  let from = held !== null && held.bytes < total ? held.bytes : 0;

  // Each piece is sent once, and once more if the service lost some on the way; then it is the service's trouble.
  const most = 2 * Math.ceil(total / photoPieceBytes) + 1;
  for (let n = 0; n < most; n += 1) {
    const end = Math.min(from + photoPieceBytes, total);
    const answer = await transport({
      method: "PUT",
      path,
      bytes: { data: data.slice(from, end), media_type },
      contentRange: `bytes ${from}-${end - 1}/${total}`,
      timeoutMs: photoTimeoutMs,
    });
    if (answer.kind !== "done" || answer.status !== 202) return answer;
    const now = readReceived(answer);
    if (now === null || now.bytes >= total) break;
    from = now.bytes;
  }
  return { kind: "troubled", status: 202, retryAfterMs: null, detail: "" };
}
