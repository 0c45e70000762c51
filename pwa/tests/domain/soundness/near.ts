import { expect } from "vitest";

/** The two values agree: numbers to 1 part in 10⁹, everything else exactly. */
export function near(expected: unknown, actual: unknown, path = "answer"): void {
  if (typeof expected === "number") {
    expect(typeof actual, path).toBe("number");
    const gap = Math.abs(expected - (actual as number));
    expect(gap <= 1e-9 * Math.max(1, Math.abs(expected)), `${path}: ${expected} and ${String(actual)}`).toBe(true);
  } else if (Array.isArray(expected)) {
    expect((actual as unknown[]).length, path).toBe(expected.length);
    expected.forEach((item, i) => near(item, (actual as unknown[])[i], `${path}.${i}`));
  } else if (typeof expected === "object" && expected !== null) {
    expect(Object.keys(actual as object).sort(), path).toEqual(Object.keys(expected).sort());
    for (const [key, value] of Object.entries(expected)) {
      near(value, (actual as Record<string, unknown>)[key], `${path}.${key}`);
    }
  } else {
    expect(actual, path).toBe(expected);
  }
}

/** The faults with which a call refuses. */
export function faultsOf(call: () => unknown): unknown {
  try {
    call();
  } catch (error) {
    return (error as { errors: unknown }).errors;
  }
  throw new Error("this was not refused");
}
