/**
 * Fetches small pictures of stones before anybody looks at them, so that an evening without a signal has them.
 *
 * It runs after a round that brought news, one picture at a time, and stops at the first sign of trouble: it is a
 * convenience and must never hold up a record. Where a picture is kept is the caller's business; in the app the
 * worker keeps whatever small picture passes through it (sw/to-cache.ts).
 */

import { aheadBudget, aheadRoundBytes, aheadRoundPhotos } from "../constants";
import type { WhetpanelDb } from "../store/db";
import { readPhotosAhead } from "../store/photos_ahead";

/** What the browser tells of the line (Network Information API, a draft of the W3C's community group). */
export interface Line {
  readonly saveData?: boolean | undefined;
  readonly type?: string | undefined;
  readonly effectiveType?: string | undefined;
}

/** The member asked to save data, pays by the amount, or has a line so thin that records need it. */
export const isDear = (line: Line | undefined): boolean =>
  line !== undefined && (line.saveData === true || line.type === "cellular" || /2g$/.test(line.effectiveType ?? ""));

/** bytes: it is here now. gone: the service has none, asking again is of no use. later: not now. */
export type Fetched = { readonly kind: "here"; readonly bytes: number } | { readonly kind: "gone" } | { readonly kind: "later" };

export interface AheadParts {
  readonly db: WhetpanelDb;
  readonly fetchThumb: (sha256: string) => Promise<Fetched>;
  /** Which of these are kept already. */
  readonly held: (hashes: readonly string[]) => Promise<ReadonlySet<string>>;
  readonly line: () => Line | undefined;
  /** Whether the phone has room to spare for something that can be fetched again. */
  readonly hasRoom: () => Promise<boolean>;
}

/** What a run came to, for the member who asked for it. */
export interface AheadRun {
  readonly fetched: number;
  /** What this member would still have use for. */
  readonly left: number;
  readonly stopped: "done" | "dear_line" | "no_room" | "trouble" | "budget" | "not_signed_in" | "nothing_new";
}

export interface Ahead {
  /** @param asked a member who taps a button takes the line's price on; a round does not */
  run(asked?: boolean): Promise<AheadRun>;
}

export function makeAhead({ db, fetchThumb, held, line, hasRoom }: AheadParts): Ahead {
  /** What the service has no picture for. Forgotten at a reload. */
  const gone = new Set<string>();
  /** Whose catalogue, and how far, was served in full. */
  let doneAt = "";
  let running: Promise<AheadRun> | null = null;

  const stop = (stopped: AheadRun["stopped"], fetched = 0, left = 0): AheadRun => ({ stopped, fetched, left });

  async function fetchSome(asked: boolean): Promise<AheadRun> {
    if ((await db.note("session"))?.signed_in !== true) return stop("not_signed_in");
    const whose = (await db.note("catalogue_of")) ?? "";
    const at = `${whose} ${(await db.note("cursor")) ?? 0}`;
    if (!asked && at === doneAt) return stop("nothing_new");
    if (!asked && isDear(line())) return stop("dear_line");
    if (!(await hasRoom())) return stop("no_room");

    const wanted = (await readPhotosAhead(aheadBudget, db)).filter((sha256) => !gone.has(sha256));
    const present = await held(wanted);
    const missing = wanted.filter((sha256) => !present.has(sha256));
    let [fetched, bytes] = [0, 0];
    for (const [n, sha256] of missing.entries()) {
      if (!asked && (fetched >= aheadRoundPhotos || bytes >= aheadRoundBytes)) return stop("budget", fetched, missing.length - n);
      // Somebody else's evening must not be filled with this member's pictures.
      if ((await db.note("catalogue_of")) !== whose) return stop("not_signed_in", fetched, missing.length - n);
      const answer = await fetchThumb(sha256);
      if (answer.kind === "later") return stop("trouble", fetched, missing.length - n);
      if (answer.kind === "gone") gone.add(sha256);
      else [fetched, bytes] = [fetched + 1, bytes + answer.bytes];
    }
    doneAt = at;
    return stop("done", fetched, 0);
  }

  return {
    run: async (asked = false) => {
      // A member who taps while a quiet run is under way waits for that one, then gets the rest.
      if (running !== null) {
        const quiet = await running;
        if (!asked || quiet.stopped === "done") return quiet;
      }
      running = fetchSome(asked).finally(() => { running = null; });
      return running;
    },
  };
}
