/** Where two versions of a record differ, field by field. Pure. */

import { sameJson } from "../../domain/same";

export interface Difference {
  readonly field: string;
  readonly mine: unknown;
  readonly theirs: unknown;
}

const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** Only fields of mine count: what the service adds is no difference. Maps (grades, observations) go one level deeper. */
export function differences(
  mine: Readonly<Record<string, unknown>>,
  theirs: Readonly<Record<string, unknown>>,
  prefix = "",
): Difference[] {
  return Object.entries(mine).flatMap(([name, value]): Difference[] => {
    const other = theirs[name];
    if (isMap(value) && isMap(other) && prefix === "") {
      const all = { ...Object.fromEntries(Object.keys(other).map((key) => [key, undefined])), ...value };
      return differences(all, other, `${name}.`);
    }
    return sameJson(value, other) ? [] : [{ field: `${prefix}${name}`, mine: value, theirs: other }];
  });
}

/** A field's name as people say it: "grades.hardness" is "hardness". */
export const fieldWords = (field: string): string =>
  (field.split(".").at(-1) ?? field).replace(/_(mm|g|s|um|deg)$/, "").replaceAll("_", " ");

/** A value in a few words, for a table of differences. */
export function valueWords(value: unknown, nothing: string): string {
  if (value === null || value === undefined || value === "") return nothing;
  if (Array.isArray(value)) return value.length === 0 ? nothing : String(value.length);
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value.length > 80 ? `${value.slice(0, 79)}…` : value;
  if (isMap(value)) return Object.values(value).map((one) => valueWords(one, nothing)).join(" – ");
  return typeof value === "number" ? String(value) : nothing;
}
