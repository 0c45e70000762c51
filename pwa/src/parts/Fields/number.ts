/** Numbers as people type them: a comma or a point, spaces, an empty box for "not measured". */

export type Typed =
  | { readonly kind: "empty" }
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "not_a_number" };

export function readNumber(text: string): Typed {
  const plain = text.trim().replace(/\s/g, "").replace(",", ".");
  if (plain === "") return { kind: "empty" };
  // Number() would also take "0x10", "1e9" and "Infinity"; nobody means those on a stone.
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return { kind: "not_a_number" };
  return { kind: "number", value: Number(plain) };
}

export interface Bounds {
  readonly low?: number | null | undefined;
  readonly high?: number | null | undefined;
  readonly whole?: boolean;
}

export type Trouble = "not_a_number" | "too_low" | "too_high" | "not_whole";

/** What is wrong with a typed number, or null. Only sound numbers go on to a record. */
export function troubleWith(typed: Typed, bounds: Bounds): Trouble | null {
  if (typed.kind === "empty") return null;
  if (typed.kind === "not_a_number") return "not_a_number";
  if (bounds.low != null && typed.value < bounds.low) return "too_low";
  if (bounds.high != null && typed.value > bounds.high) return "too_high";
  if (bounds.whole && !Number.isInteger(typed.value)) return "not_whole";
  return null;
}
