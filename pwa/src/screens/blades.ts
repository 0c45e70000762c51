import type { Blade, Purpose } from "../domain/records";

/** Blades of a steel; those made for the purpose if there are any. */
export function bladesOf(blades: readonly Blade[], steel: string, purpose: Purpose): Blade[] {
  const all = blades.filter((blade) => blade.steel === steel);
  const fit = all.filter((blade) => blade.form === purpose);
  return fit.length > 0 ? fit : all;
}
