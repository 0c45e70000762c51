/** The trade's own words for the values in records: one place, so that a thing is called the same everywhere. */
import type {
  Construction, DropState, Face, FindingKind, PhotoView, Purpose, SteelClass, StoneForm, StoneKind, TapTone,
} from "../domain/records";

export const purposes: Readonly<Record<Purpose, string>> = { knife: "Knife", razor: "Razor", plane_iron: "Plane iron" };

export const kinds: Readonly<Record<StoneKind, string>> = {
  slate: "slate", novaculite: "novaculite", schist: "schist", sandstone: "sandstone", siltstone: "siltstone",
  garnet_slate: "garnet slate", chert: "chert", other: "other stone",
};

export const forms: Readonly<Record<StoneForm, string>> = {
  bench: "bench stone", hand: "hand stone", finger: "finger stone", irregular: "irregular",
};

export const faces: Readonly<Record<Face, string>> = { front: "Front", back: "Back" };

export const findingKinds: Readonly<Record<FindingKind, string>> = {
  fissure: "Fissure", inclusion: "Inclusion", line: "Line", chip: "Chip", soft_spot: "Soft spot", stain: "Stain",
};

export const dropStates: Readonly<Record<DropState, string>> = {
  beads: "Beads and stays", slow: "Drawn in slowly", quick: "Drawn in quickly", at_once: "Gone at once",
};

export const tapTones: Readonly<Record<TapTone, string>> = { ring: "Rings", dull: "Dull", rattle: "Rattles" };

export const photoViews: Readonly<Record<PhotoView, string>> = {
  front: "front", back: "back", side: "side", mud: "mud", finish: "finish", before: "before the work",
  after: "after the work",
};

export const steelClasses: Readonly<Record<SteelClass, string>> = {
  plain_carbon: "plain carbon", low_alloy: "low alloy", stainless: "stainless", high_alloy: "high alloy", powder: "powder steel",
};

export const constructions: Readonly<Record<Construction, string>> = { mono: "one steel", laminated: "laminated", clad: "clad" };

/** "3 days ago"; what is older than a month is told by its day. */
export function age(iso: string, nowMs: number): string {
  const minutes = Math.max(0, Math.round((nowMs - Date.parse(iso)) / 60_000));
  if (minutes < 1) return "just now";
  if (minutes < 60) return `${minutes} min ago`;
  const hours = Math.round(minutes / 60);
  if (hours < 24) return hours === 1 ? "an hour ago" : `${hours} hours ago`;
  const days = Math.round(hours / 24);
  if (days === 1) return "yesterday";
  return days < 32 ? `${days} days ago` : `on ${day(iso)}`;
}

/** A day as 4 Nov 2026, by this device's time zone. */
export const day = (iso: string): string =>
  new Date(iso).toLocaleDateString("en-GB", { day: "numeric", month: "short", year: "numeric" });

export const mm = (value: number): string => `${Number.isInteger(value) ? value : value.toFixed(1)} mm`;
