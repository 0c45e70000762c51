import type { ComponentChildren } from "preact";
import { useLocation } from "preact-iso";
import { useEffect } from "preact/hooks";
import { mayDeal } from "../store/db";
import { changeOver, isForm, noticePlace, useUpdateReady } from "../sw/bridge";
import { useSyncStatus, type SyncStatus } from "../sync/status";
import { shell as words } from "../words/shell";
import { Boundary } from "./Boundary";
import styles from "./style.module.css";

const signInPath = "/sign-in";

const placesFor = (status: SyncStatus) => [
  { path: "/", words: words.bench },
  { path: "/stones", words: words.stones },
  // Protocols are a tester's daily bread; a dealer finds them on the desk.
  ...(mayDeal(status.session)
    ? [{ path: "/work", words: words.work }, { path: "/desk", words: words.desk }, { path: "/pooled", words: words.pooled }]
    : [{ path: "/protocols", words: words.protocols }]),
  { path: "/me", words: words.me },
];

/** The one thing, if any, that the member should hear on every screen. The most pressing first. */
function Notice({ status, path }: { readonly status: SyncStatus; readonly path: string }) {
  const updateReady = useUpdateReady();
  // A full phone is said on forms too, and there above all: what is typed now may not be kept.
  if (status.storageFull) {
    return <p class={styles.notice} role="alert">{words.storageFull} <a href="/me">{words.toMe}</a></p>;
  }
  if (isForm(path)) return null;
  if (status.session?.signed_in === false) {
    return (
      <p class={styles.notice} role="status">
        {words.signInAgain(status.waiting + status.needsYou)} <a href={signInPath}>{words.signIn}</a>
      </p>
    );
  }
  if (status.needsYou > 0 && path !== "/") {
    return <p class={styles.notice} role="status"><a href="/">{words.needsYou(status.needsYou)}</a></p>;
  }
  if (updateReady) {
    return (
      <p class={`${styles.notice} ${styles.calm}`} role="status">
        {words.updateReady} <button type="button" class={styles.linkButton} onClick={changeOver}>{words.update}</button>
      </p>
    );
  }
  return null;
}

/** The frame around every screen: where you are, where you can go. Under the thumb on a phone. */
export function Shell({ children }: { readonly children: ComponentChildren }) {
  const { path, route } = useLocation();
  const status = useSyncStatus();
  const nobody = status !== undefined && status.session === null;
  // Whoever holds an invitation has nobody to sign in as yet.
  const atDoor = path === signInPath || path.startsWith("/join/");

  useEffect(() => {
    noticePlace(path);
    document.title = words.titleOf(path);
  }, [path]);
  useEffect(() => {
    if (nobody && !atDoor) route(signInPath, true);
  }, [nobody, atDoor, route]);

  // Not known yet, or on the way to the door: an empty page for the blink of an eye, rather than a wrong one.
  if (status === undefined || (nobody && !atDoor)) return <div class={styles.shell} />;

  const here = (place: string): boolean => (place === "/" ? path === "/" : path.startsWith(place));
  return (
    <div class={styles.shell}>
      <main class={styles.main} id="main">
        {atDoor ? null : <Notice status={status} path={path} />}
        <Boundary path={path}>{children}</Boundary>
      </main>
      {atDoor ? null : (
        <nav class={styles.bar} aria-label={words.places}>
          {placesFor(status).map((place) => (
            <a key={place.path} href={place.path} class={styles.place} aria-current={here(place.path) ? "page" : undefined}>
              {place.words}
            </a>
          ))}
        </nav>
      )}
    </div>
  );
}
