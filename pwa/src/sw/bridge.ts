/** The page's half: registers the worker, learns of a new version, and asks before changing over to it. */

import { useEffect, useState } from "preact/hooks";
import { Workbox } from "workbox-window";

type Listener = (ready: boolean) => void;

let workbox: Workbox | null = null;
let updateReady = false;
const listeners = new Set<Listener>();

/** Screens on which a record is being typed. Nothing changes over while one of them is open. */
const forms = /\/(inspect|trial|lap|practice|change)$|^\/(rules|intake)/;
let place = "/";
let reloadOwed = false;

export const isForm = (path: string): boolean => forms.test(path);

/** The shell tells where the member is; a reload that was put off happens on leaving the form. */
export function noticePlace(path: string): void {
  place = path;
  if (reloadOwed && !isForm(path)) location.reload();
}

function announce(): void {
  updateReady = true;
  for (const listener of listeners) listener(true);
}

/** Called once, after the first screen stands. A browser without workers still works while online. */
export async function registerWorker(): Promise<void> {
  if (!("serviceWorker" in navigator) || import.meta.env.DEV) return;
  workbox = new Workbox("/sw.js");
  workbox.addEventListener("waiting", announce);
  // Another tab may have said yes: then this page would run old code against a new cache.
  workbox.addEventListener("controlling", (event) => {
    if (event.isUpdate !== true) return;
    if (isForm(place)) reloadOwed = true;
    else location.reload();
  });
  await workbox.register();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void workbox?.update().catch(() => undefined);
  });
}

/** Changes over to the new version; the page reloads. What is typed is in the store, value by value. */
export function changeOver(): void {
  workbox?.messageSkipWaiting();
}

/** Whether a new version waits for your word. */
export function useUpdateReady(): boolean {
  const [ready, setReady] = useState(updateReady);
  useEffect(() => {
    setReady(updateReady);
    listeners.add(setReady);
    return () => void listeners.delete(setReady);
  }, []);
  return ready;
}
