/** The stone and the blades of a practice trial: invented, known to no service, and said to be so. Pure. */

import type { Blade, Kept, Protocol, Stone } from "../../domain/records";
import { practice as say } from "../../words/practice";

const nobodys: Kept = {
  id: "practice", version: 0, revision: 0, recorded_at: null, created_by: null, created_at: "", updated_at: "", updated_by: null, withdrawn: null,
};

export const practiceStone: Stone = {
  ...nobodys,
  code: say.stone,
  lot_id: "practice",
  kind: "other",
  form: "bench",
  length_mm: 205,
  width_mm: 75,
  thickness_mm: 24,
  mass_g: null,
  colour: "",
  marks: [],
  sides_sealed: true,
  photos: [],
  notes: "",
};

/** One blade for each purpose that the club has a protocol for, of the steel which that protocol names first. */
export function practiceBlades(protocols: readonly Protocol[], clubs: readonly Blade[]): Blade[] {
  const first = new Map(protocols.map((protocol) => [protocol.purpose, protocol]).reverse() as [Protocol["purpose"], Protocol][]);
  return [...first].map(([purpose, protocol]): Blade => {
    const steel = protocol.reference_steels[0] ?? "";
    const known = clubs.find((blade) => blade.steel === steel);
    return {
      ...nobodys,
      id: `practice-${purpose}`,
      name: say.blades[purpose],
      steel,
      steel_name: known?.steel_name ?? steel.replaceAll("_", " "),
      steel_class: known?.steel_class ?? "plain_carbon",
      construction: known?.construction ?? "mono",
      hardness_hrc: null,
      form: purpose,
      notes: "",
    };
  });
}
