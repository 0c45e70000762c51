/// <reference lib="webworker" />
/** The worker, in order: keep the app, answer screens from it, keep thumbnails, change over when told. */

import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { isPhoto, isThumb, keepThumbs, notScreens, photoOrThumb } from "./to-cache";

declare let self: ServiceWorkerGlobalScope;

precacheAndRoute(self.__WB_MANIFEST);
cleanupOutdatedCaches();

registerRoute(new NavigationRoute(createHandlerBoundToURL("/index.html"), { denylist: [...notScreens] }));
registerRoute(isThumb, keepThumbs);
registerRoute(isPhoto, photoOrThumb);

// Everything else of the API goes to the network untouched: the local store is the cache of records.

self.addEventListener("message", (event) => {
  // A new version waits until the page says that nothing is half done.
  if ((event.data as { readonly type?: unknown } | null)?.type === "SKIP_WAITING") void self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  // The first visit too: after it, the app opens without a signal.
  event.waitUntil(self.clients.claim());
});
