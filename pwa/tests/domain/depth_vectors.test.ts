import { describe, expect, it } from "vitest";
import { facesToConfirm, goneSinceTrial, type FaceHistory } from "../../src/domain/depth";
import vectors from "../../../tests/vectors/depth.json";

type Case = FaceHistory & {
  readonly name: string;
  readonly gone: Readonly<Record<"front" | "back", { readonly gone_mm: number; readonly lapped: boolean } | null>>;
  readonly confirm: Readonly<Record<string, readonly string[]>>;
};

// The board on the service and the phone's own bench must ask for the same confirming trials.
describe("worn faces, as the service answers them", () => {
  it.each(vectors.cases as unknown as Case[])("$name", (one) => {
    for (const face of ["front", "back"] as const) {
      const expected = one.gone[face];
      const gone = goneSinceTrial(face, one);
      if (expected === null) expect(gone).toBeNull();
      else {
        expect(gone?.lapped).toBe(expected.lapped);
        expect(gone?.gone_mm).toBeCloseTo(expected.gone_mm, 9);
      }
    }
    for (const [depth, faces] of Object.entries(one.confirm)) {
      expect(facesToConfirm(one, Number(depth)).map(({ face }) => face)).toEqual(faces);
    }
  });
});
