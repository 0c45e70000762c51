/** Codes of stones and lots: which are alike, which comes next. Pure. */

/** As the service takes them: letters, digits and . _ / -, at most 20. */
const codeShape = /^[A-Za-z0-9][A-Za-z0-9._/-]{0,19}$/;
export const isCode = (code: string): boolean => codeShape.test(code);

/**
 * What two codes have in common when a person reads them aloud. Whoever looks for "n 17" finds N-17, so two stones
 * whose codes differ in nothing else could not be told apart.
 */
export const plainCode = (code: string): string => code.replaceAll(/[\s-]/g, "").toLowerCase();

interface Numbered {
  readonly before: string;
  readonly digits: string;
  readonly after: string;
}

/** The last run of digits in a code, with what stands around it; null for a code without a number. */
function numbered(code: string): Numbered | null {
  const found = /^(.*?)(\d+)(\D*)$/.exec(code);
  return found === null ? null : { before: found[1] ?? "", digits: found[2] ?? "", after: found[3] ?? "" };
}

const put = ({ before, digits, after }: Numbered, number: bigint): string =>
  `${before}${String(number).padStart(digits.length, "0")}${after}`;

/** The next free code after this one: N-017 → N-018, N-099 → N-100, 7b → 8b. null if it has no number or no room. */
export function nextCode(code: string, taken: ReadonlySet<string>): string | null {
  const parts = numbered(code);
  if (parts === null) return null;
  // A set of n codes leaves one of n + 1 in a row free.
  for (let step = 1; step <= taken.size + 1; step += 1) {
    const next = put(parts, BigInt(parts.digits) + BigInt(step));
    if (!isCode(next)) return null;
    if (!taken.has(plainCode(next))) return next;
  }
  return null;
}

/**
 * The code that goes on with these, the oldest first: after the highest number of the pattern most of them follow,
 * of two equally common ones the pattern of the latest. null if none has a number.
 */
export function continued(codes: readonly string[], taken: ReadonlySet<string>): string | null {
  const patterns = new Map<string, { count: number; last: number; highest: Numbered }>();
  codes.forEach((code, i) => {
    const parts = numbered(code);
    if (parts === null) return;
    const key = `${parts.before}\0${parts.after}`;
    const seen = patterns.get(key);
    if (seen === undefined) {
      patterns.set(key, { count: 1, last: i, highest: parts });
      return;
    }
    seen.count += 1;
    seen.last = i;
    if (BigInt(parts.digits) > BigInt(seen.highest.digits)) seen.highest = parts;
  });
  const [chief] = [...patterns.values()].sort((a, b) => b.count - a.count || b.last - a.last);
  return chief === undefined ? null : nextCode(put(chief.highest, BigInt(chief.highest.digits)), taken);
}

/** The first code of a lot that has none yet: the lot's own code and a number, as wide as the club's other codes have it. */
export function firstOfLot(lotCode: string, clubCodes: readonly string[], taken: ReadonlySet<string>): string | null {
  const widths = new Map<number, number>();
  for (const code of clubCodes) {
    const width = numbered(code)?.digits.length;
    if (width !== undefined) widths.set(width, (widths.get(width) ?? 0) + 1);
  }
  const [common] = [...widths].sort((a, b) => b[1] - a[1]);
  const zero = `${lotCode}-${"0".repeat(common?.[0] ?? 3)}`;
  return isCode(zero) ? nextCode(zero, taken) : null;
}
