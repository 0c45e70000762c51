/** The cases of open work that the service runs too. */
import { describe, expect, it } from "vitest";
import work from "../../../../tests/vectors/work.json";
import { openWork, type Answered, type Looked } from "../../../src/domain/soundness/work";

describe("open work", () => {
  it.each(work.cases)("$name", (one) => {
    expect(openWork(one.inspections as unknown as Looked[], one.repairs as unknown as Answered[])).toEqual(one.expect);
  });

  it.each(work.cases)("does not depend on the order of inspections: $name", (one) => {
    const turned = [...(one.inspections as unknown as Looked[])].reverse();

    expect(openWork(turned, one.repairs as unknown as Answered[])).toEqual(one.expect);
  });
});
