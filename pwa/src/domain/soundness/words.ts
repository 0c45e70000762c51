/** Numbers and words as they stand in a sentence; the service writes the same characters. */

export const UNKNOWN = "not known";

/**
 * Round to 0.0001, halves upward. Facts are rounded before a rule sees them: the last bits of a sine differ between
 * machines, and a threshold must not fall differently on the phone than on the server.
 */
export const round4 = (x: number): number => Math.floor(x * 10000 + 0.5) / 10000;

/** A fact as words: three figures or so for numbers, yes and no, spaces instead of underscores. */
export function say(value: string | number | boolean | undefined): string {
  if (value === undefined) return UNKNOWN;
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") return sayNumber(value);
  return value.replaceAll("_", " ");
}

/** Whole from 100 up, one decimal from 10 up, else two; trailing zeros left out; a true minus sign. */
export function sayNumber(x: number): string {
  const size = Math.abs(x);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : 2;
  const n = Math.floor(size * 10 ** digits + 0.5);
  const whole = Math.floor(n / 10 ** digits);
  const rest = n % 10 ** digits;
  const fraction = digits === 0 ? "" : String(rest).padStart(digits, "0").replace(/0+$/, "");
  return (x < 0 && n > 0 ? "−" : "") + String(whole) + (fraction === "" ? "" : `.${fraction}`);
}
