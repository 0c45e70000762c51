/** Changing an inspection that is there already. Pure; see Trial/changed.ts. */
import type { Flatness, FlatnessReading, Inspection, OwnFields, Stone } from "../../domain/records";
import { photosOf, readInspectionDraft, stations, toInspection, type Station } from "./draft";

type Values = Readonly<Record<string, unknown>>;

/** What the draft remembers of the record it changes. */
export interface ChangedInspection {
  readonly id: string;
  /** The version the change was begun on; 0: the record has not been sent. */
  readonly base: number;
  /** When that state was written down. */
  readonly made_on: string | null;
  readonly inspected_at: string;
  /** Readings at places that the form does not ask for; another program may have read more of them. */
  readonly elsewhere: Flatness | null;
}

const isAt = (station: Station, reading: FlatnessReading): boolean =>
  Math.abs(station.x_mm - reading.x_mm) < 0.06 && Math.abs(station.y_mm - reading.y_mm) < 0.06;

export function valuesOfInspection(inspection: Inspection, stone: Stone): Values {
  const { flatness } = inspection;
  const places = flatness === null ? [] : stations(flatness.method, stone);
  const taken = new Map<Station, FlatnessReading>();
  const elsewhere: FlatnessReading[] = [];
  for (const reading of flatness?.readings ?? []) {
    const place = places.find((station) => isAt(station, reading) && !taken.has(station));
    if (place === undefined) elsewhere.push(reading);
    else taken.set(place, reading);
  }
  const changes: ChangedInspection = {
    id: inspection.id,
    base: inspection.version,
    made_on: inspection.recorded_at,
    inspected_at: inspection.inspected_at,
    elsewhere: flatness === null || elsewhere.length === 0 ? null : { method: flatness.method, readings: elsewhere },
  };
  const { face, thickness_mm, water_uptake_s, drop_state, dry_mass_g, wet_mass_g, tap_tone, sides_sealed } = inspection;
  const measured = Object.entries({ thickness_mm, water_uptake_s, drop_state, dry_mass_g, wet_mass_g, tap_tone, sides_sealed })
    .filter(([, value]) => value !== null);
  return {
    changes,
    face,
    ...Object.fromEntries(measured),
    findings: inspection.findings,
    photos: inspection.photos,
    ...(inspection.notes === "" ? {} : { notes: inspection.notes }),
    ...(flatness === null ? {} : { flatness_method: flatness.method }),
    ...Object.fromEntries([...taken].map(([station, reading]) => [`heights.${station.id}`, reading.height_um])),
  };
}

export const readChanged = (values: Values): ChangedInspection | null =>
  (values["changes"] as ChangedInspection | undefined) ?? null;

/** The record as it shall be from now on. Readings the form could not show stay, unless the way of reading changed. */
export function toChangedInspection(values: Values, changed: ChangedInspection, stone: Stone): OwnFields<"inspection"> {
  const draft = readInspectionDraft(values);
  const record = toInspection(draft, stone, changed.inspected_at, photosOf(values));
  const { elsewhere } = changed;
  if (elsewhere === null || elsewhere.method !== draft.flatness_method) return record;
  return { ...record, flatness: { method: elsewhere.method, readings: [...(record.flatness?.readings ?? []), ...elsewhere.readings] } };
}
