import { describe, expect, it } from "vitest";
import { makeTransport, type Fetch } from "../../src/api/transport";
import { photoPieceBytes } from "../../src/constants";
import { sendPhoto } from "../../src/sync/photo_pieces";

const json = (status: number, body: object): Response =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });

/** Takes pieces as the service does: any order, again, over days; a whole photo once no gap is left. */
class PieceService {
  readonly pieces = new Map<number, Uint8Array>();
  readonly ranges: (string | null)[] = [];
  whole: Uint8Array | null = null;
  /** Called before each request; throws for a signal that is gone. */
  before: () => void = () => undefined;
  /** Called after each; throws for an answer that is lost. */
  after: () => void = () => undefined;

  held(): number {
    let end = 0;
    for (const [first, piece] of [...this.pieces].sort(([a], [b]) => a - b)) if (first <= end) end = Math.max(end, first + piece.length);
    return end;
  }

  readonly fetch: Fetch = (input, init) => {
    this.before();
    const answer = this.answer(input as string, init ?? {});
    this.after();
    return Promise.resolve(answer);
  };

  private answer(path: string, init: RequestInit): Response {
    if (path.endsWith("/received")) return json(200, { sha256: "ab", received: this.held(), complete: this.whole !== null });
    const bytes = new Uint8Array(init.body as ArrayBuffer);
    const range = new Headers(init.headers).get("Content-Range");
    this.ranges.push(range);
    if (range === null) {
      this.whole = bytes;
      return json(201, { sha256: "ab" });
    }
    const [, first, last, total] = /^bytes (\d+)-(\d+)\/(\d+)$/.exec(range)!.map(Number);
    if (bytes.length !== last! - first! + 1 || bytes.length > 512 * 1024) return json(422, { code: "invalid" });
    this.pieces.set(first!, bytes);
    if (this.held() < total!) return json(202, { sha256: "ab", received: this.held(), complete: false });
    this.whole = new Uint8Array(total!);
    for (const [at, piece] of this.pieces) this.whole.set(piece, at);
    return json(201, { sha256: "ab" });
  }
}

const photo = (bytes: number) => ({
  data: Uint8Array.from({ length: bytes }, (_, i) => (i * 7 + (i >> 8)) % 251).buffer,
  media_type: "image/webp",
});
const send = (service: PieceService, bytes: number) => sendPhoto(makeTransport(service.fetch), "/photos/ab", photo(bytes));
const total = photoPieceBytes * 3 + 1000;

describe("a photo on its way", () => {
  it("goes whole when it is small, without asking first", async () => {
    const service = new PieceService();
    expect(await send(service, photoPieceBytes)).toMatchObject({ kind: "done", status: 201 });
    expect(service.ranges).toEqual([null]);
  });

  it("goes in pieces when it is large, and arrives as it was", async () => {
    const service = new PieceService();
    expect(await send(service, total)).toMatchObject({ kind: "done", status: 201 });
    const k = photoPieceBytes;
    expect(service.ranges).toEqual([
      `bytes 0-${k - 1}/${total}`, `bytes ${k}-${2 * k - 1}/${total}`, `bytes ${2 * k}-${3 * k - 1}/${total}`, `bytes ${3 * k}-${total - 1}/${total}`,
    ]);
    expect(service.whole).toEqual(new Uint8Array(photo(total).data));
  });

  it("goes on where the signal broke off", async () => {
    const service = new PieceService();
    let left = 3; // the question and two pieces
    service.before = () => {
      left -= 1;
      if (left < 0) throw new TypeError("network");
    };
    expect((await send(service, total)).kind).toBe("unreachable");
    service.before = () => undefined;
    expect(await send(service, total)).toMatchObject({ kind: "done", status: 201 });
    expect(service.ranges.length).toBe(4);
    expect(service.whole).toEqual(new Uint8Array(photo(total).data));
  });

  it("sends nothing again when only the last answer was lost", async () => {
    const service = new PieceService();
    service.after = () => {
      if (service.whole !== null) throw new TypeError("connection closed");
    };
    expect((await send(service, total)).kind).toBe("unreachable");
    service.after = () => undefined;
    expect(await send(service, total)).toMatchObject({ kind: "done", body: { sha256: "ab" } });
    expect(service.ranges.length).toBe(4);
  });

  it("fills a gap that the service names, and gives up on one that never moves", async () => {
    const gap = new PieceService();
    gap.pieces.set(photoPieceBytes, new Uint8Array(photo(total).data.slice(photoPieceBytes, 2 * photoPieceBytes)));
    expect(await send(gap, total)).toMatchObject({ kind: "done", status: 201 });
    expect(gap.ranges.length).toBe(3);

    const stuck = new PieceService();
    stuck.held = () => 0;
    expect((await send(stuck, total)).kind).toBe("troubled");
    expect(stuck.ranges.length).toBeLessThan(12);
  });
});
