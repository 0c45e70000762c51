/** What the worker keeps, apart from the app itself, which is kept whole. */

import { CacheableResponsePlugin } from "workbox-cacheable-response";
import { ExpirationPlugin } from "workbox-expiration";
import { CacheFirst } from "workbox-strategies";
import { apiBase, thumbCacheEntries, thumbCacheName } from "../constants";

const thumb = new RegExp(`^${apiBase}/photos/[0-9a-f]{64}/thumb$`);

/** Thumbnails are named by their content, so a kept one is never out of date. */
export const isThumb = ({ url, sameOrigin }: { url: URL; sameOrigin: boolean }): boolean =>
  sameOrigin && thumb.test(url.pathname);

export const keepThumbs = new CacheFirst({
  cacheName: thumbCacheName,
  plugins: [
    new CacheableResponsePlugin({ statuses: [200] }),
    // When the phone runs short, thumbnails go first: they can be fetched again, records cannot.
    new ExpirationPlugin({ maxEntries: thumbCacheEntries, purgeOnQuotaError: true }),
  ],
});

const photo = new RegExp(`^${apiBase}/photos/[0-9a-f]{64}$`);

export const isPhoto = ({ url, sameOrigin }: { url: URL; sameOrigin: boolean }): boolean =>
  sameOrigin && photo.test(url.pathname);

/** A whole photo comes from the service; without a signal its small picture stands in, if it is here. */
export async function photoOrThumb({ request, url }: { request: Request; url: URL }): Promise<Response> {
  try {
    return await fetch(request);
  } catch (error) {
    const small = await (await caches.open(thumbCacheName)).match(`${url.pathname}/thumb`);
    if (small === undefined) throw error;
    return small;
  }
}

/** Screens have addresses of their own; these are not screens. */
export const notScreens: readonly RegExp[] = [/^\/api\//, /^\/healthz$/, /^\/p\//, /^\/s\//, /^\/m\//, /^\/public\//];
