import encodeQR from "qr";
import { decodeQR } from "qr/decode.js";
import { describe, expect, it } from "vitest";
import { readLabel } from "../../src/domain/label";

const id = "019a6356-6e00-7fa7-b95d-ee417e8cf48a";

describe("what a label says", () => {
  it("is a stone by its address, on whatever service", () => {
    expect(readLabel(`https://club.example/stones/${id}`)).toEqual({ kind: "stone", id });
    expect(readLabel(` http://127.0.0.1:8000/stones/${id.toUpperCase()}/?from=label `)).toEqual({ kind: "stone", id });
    expect(readLabel(`/stones/${id}`)).toEqual({ kind: "stone", id });
  });

  it("is a stone by its code", () => {
    expect(readLabel("QUA-02")).toEqual({ kind: "code", code: "QUA-02" });
  });

  it("is nothing of ours otherwise", () => {
    for (const text of ["https://shop.example/", `https://club.example/stones/${id}/trial`, "WIFI:T:WPA;S:hall;P:secret;;", "", "x".repeat(60)]) {
      expect(readLabel(text)).toEqual({ kind: "other" });
    }
  });
});

describe("reading the picture of a label", () => {
  // The library's own writer makes the picture; dark and light as a camera would see them, four pixels a module.
  it("gives the address back", () => {
    const text = `https://club.example/stones/${id}`;
    const modules = encodeQR(text, "raw", { ecc: "medium", border: 4 });
    const side = modules.length * 4;
    const data = new Uint8ClampedArray(side * side * 4).fill(255);
    for (let y = 0; y < side; y += 1) {
      for (let x = 0; x < side; x += 1) {
        const at = (y * side + x) * 4;
        data.fill(modules[y >> 2]![x >> 2]! ? 40 : 215, at, at + 3);
      }
    }
    expect(decodeQR({ data, width: side, height: side })).toBe(text);
  });
});
