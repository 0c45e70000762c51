/** How the app looks on this phone. In localStorage, because it is needed before the first paint. */

import { lookKey } from "../constants";

export const looks = ["device", "light", "dark", "glare"] as const;
/** device: as the phone is set. glare: black on white with thick lines, for full sun. */
export type Look = (typeof looks)[number];

export function readLook(): Look {
  try {
    const kept = localStorage.getItem(lookKey);
    return looks.find((look) => look === kept) ?? "device";
  } catch {
    return "device"; // Storage is closed in some private windows; the look is then the device's.
  }
}

/** Puts the look on the page. */
export function wearLook(look: Look): void {
  if (look === "device") delete document.documentElement.dataset["look"];
  else document.documentElement.dataset["look"] = look;
}

export function chooseLook(look: Look): void {
  wearLook(look);
  try {
    localStorage.setItem(lookKey, look);
  } catch {
    // Chosen for this visit only.
  }
}
