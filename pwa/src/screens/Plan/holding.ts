/** Who has which stone, with every hand-over before. */
import type { HandOver, Stone } from "../../domain/records";
import { readAll } from "../../store/catalogue";

export interface HeldRow {
  readonly stone: Stone;
  /** The last one first. */
  readonly log: readonly HandOver[];
  /** null: with the dealer. */
  readonly holder: string | null;
}

export async function readHolding() {
  const [stones, handOvers, members] = await Promise.all([readAll("stone"), readAll("hand_over"), readAll("member", { withdrawn: true })]);
  const logs = new Map<string, HandOver[]>();
  for (const { record } of handOvers) if (record.withdrawn === null) logs.set(record.stone_id, [...(logs.get(record.stone_id) ?? []), record]);
  for (const log of logs.values()) log.sort((a, b) => Date.parse(b.handed_at) - Date.parse(a.handed_at) || b.id.localeCompare(a.id));
  return {
    rows: stones.map(({ record }): HeldRow => {
      const log = logs.get(record.id) ?? [];
      return { stone: record, log, holder: log[0]?.holder_id ?? null };
    }),
    names: new Map(members.map(({ record }) => [record.id, record.display_name])),
  };
}
export type HoldingView = Awaited<ReturnType<typeof readHolding>>;

const byCode = new Intl.Collator("en", { numeric: true });

/**
 * Which of them to show: what somebody has, the longest first; then the planned ones. A search looks among all by code.
 */
export function heldRows(view: Pick<HoldingView, "rows">, planned: readonly string[], search: string): HeldRow[] {
  const wanted = search.trim().toLowerCase();
  if (wanted !== "") {
    return view.rows.filter(({ stone }) => stone.code.toLowerCase().includes(wanted)).sort((a, b) => byCode.compare(a.stone.code, b.stone.code));
  }
  const since = (row: HeldRow): number => Date.parse(row.log[0]?.handed_at ?? "");
  const out = view.rows.filter(({ holder }) => holder !== null).sort((a, b) => since(a) - since(b) || byCode.compare(a.stone.code, b.stone.code));
  const place = new Map(planned.map((id, i) => [id, i]));
  const rest = view.rows
    .filter(({ stone, holder }) => holder === null && place.has(stone.id))
    .sort((a, b) => (place.get(a.stone.id) ?? 0) - (place.get(b.stone.id) ?? 0));
  return [...out, ...rest];
}
