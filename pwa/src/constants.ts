/** Waits end in Ms, sizes in Bytes. Storage keys live here too, so that two rooms cannot pick the same one. */

export const apiBase = "/api/v1";

/** The local database. A new shape is a new Dexie version in store/db.ts, never a new name. */
export const databaseName = "whetpanel";

/** Drafts of this kind are practice trials: they never become a record and never leave the phone. */
export const practiceKind = "practice";

/** localStorage: how the app looks. Not in the database, because it is needed before the first paint. */
export const lookKey = "whetpanel.look";
/** localStorage: the paper and the labels that this device printed on last. */
export const labelSheetKey = "whetpanel.label-sheet";

/** Web Locks: the tab that holds this one pushes and pulls, the others wait. */
export const syncLockName = "whetpanel.sync";
/** localStorage, only where Web Locks are missing: who syncs, and until when. */
export const syncLeaseKey = "whetpanel.sync-lease";
export const syncLeaseMs = 30_000;

/** First wait after a failed send; doubles up to the ceiling, each time with jitter. */
export const retryFirstMs = 2_000;
export const retryCeilingMs = 5 * 60_000;
/** A server may ask for patience, but not for more than this. */
export const retryAfterCeilingMs = 60 * 60_000;
/** A request without an answer for this long counts as lost and is sent again. */
export const requestTimeoutMs = 30_000;
export const photoTimeoutMs = 120_000;
export const planTimeoutMs = 120_000;
/** Kept grades are told at once; the first pooling of a large club takes longer than other answers. */
export const pooledTimeoutMs = 120_000;
/** While newer trials are being pooled, the board is asked for again this often. */
export const behindAgainMs = 4_000;
export const labelTimeoutMs = 120_000;
/** A large club is pooled afresh for its export, which takes minutes. */
export const exportTimeoutMs = 900_000;

/** While the app is open and in view, it looks for news this often. */
export const pollMs = 60_000;
/** After the app is opened, the first round waits until its first screen stands. */
export const firstRoundMs = 400;
/** After a save the engine waits this long, so that a few quick saves go in one round. */
export const afterSaveMs = 150;

export const changesPageSize = 500;

export const photoCeilingBytes = 8_000_000;
/** A photo above this goes in pieces of it; the service takes none larger. */
export const photoPieceBytes = 512 * 1024;
/** Photos taken here stay on the phone after sending, up to this much, the oldest going first. */
export const keptPhotosBytes = 100_000_000;
/** Small pictures of photos that the worker keeps; beyond, the one not looked at for the longest goes first. */
export const thumbCacheEntries = 600;
/** Of them, fetched before anybody looked: in all, of each stone in hand or asked for, of each other stone. */
export const aheadBudget = { most: 300, ofNear: 12, ofOther: 3 } as const;
/** What one quiet run may fetch; the rest comes after the next round. */
export const aheadRoundPhotos = 60;
export const aheadRoundBytes = 3_000_000;
/** A run begins this long after a round, so that whatever the member does next comes first. */
export const aheadAfterMs = 2_000;
/** Above this share of the browser's room nothing is fetched ahead. */
export const aheadRoomShare = 0.8;
/** Worker's cache of photo thumbnails. */
export const thumbCacheName = "whetpanel-thumbs";
