import { describe, expect, it } from "vitest";
import { withViewBox } from "../../src/screens/Club/qr";

describe("the drawing of a QR code", () => {
  it("gets a view box, so that it grows with its frame", () => {
    const drawn = '<svg xmlns="http://www.w3.org/2000/svg" width="45" height="45" class="x"><path d="M0 0h45"/></svg>';
    expect(withViewBox(drawn)).toBe(drawn.replace("<svg", '<svg viewBox="0 0 45 45"'));
  });

  it("is left alone when it has one, or no size", () => {
    for (const drawn of ['<svg viewBox="0 0 9 9" width="45" height="45"/>', "<svg/>", ""]) expect(withViewBox(drawn)).toBe(drawn);
  });
});
