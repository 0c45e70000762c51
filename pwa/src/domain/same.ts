/** When two values from records mean the same. Pure. */

/** Equal as JSON: order of keys does not matter, order of lists does, times may be written differently. */
export function sameJson(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a === "string" && typeof b === "string") return sameTime(a, b);
  if (Array.isArray(a) && Array.isArray(b)) return a.length === b.length && a.every((one, i) => sameJson(one, b[i]));
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  if (Array.isArray(a) || Array.isArray(b)) return false;
  const [left, right] = [a as Record<string, unknown>, b as Record<string, unknown>];
  const names = new Set([...Object.keys(left), ...Object.keys(right)]);
  return [...names].every((name) => sameJson(left[name] ?? null, right[name] ?? null));
}

const timeShape = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/;

/** The same moment, however it is written (RFC 3339). False for anything that is not a time. */
export function sameTime(a: string, b: string): boolean {
  return timeShape.test(a) && timeShape.test(b) && Date.parse(a) === Date.parse(b);
}
