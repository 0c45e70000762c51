import type { ComponentChildren } from "preact";
import { useLocation } from "preact-iso";
import { shell as words } from "../words/shell";
import styles from "./style.module.css";

const places = [
  { path: "/", words: words.bench, mark: "bench" },
  { path: "/stones", words: words.stones, mark: "stones" },
  { path: "/protocols", words: words.protocols, mark: "protocols" },
  { path: "/me", words: words.me, mark: "me" },
] as const;

/** The frame around every screen: where you are, where you can go. Under the thumb on a phone. */
export function Shell({ children }: { readonly children: ComponentChildren }) {
  const { path } = useLocation();
  const here = (place: string): boolean => (place === "/" ? path === "/" : path.startsWith(place));

  return (
    <div class={styles.shell}>
      <main class={styles.main} id="main">{children}</main>
      {path === "/sign-in" ? null : (
        <nav class={styles.bar} aria-label={words.places}>
          {places.map((place) => (
            <a key={place.path} href={place.path} class={styles.place} aria-current={here(place.path) ? "page" : undefined}>
              <span>{place.words}</span>
            </a>
          ))}
        </nav>
      )}
    </div>
  );
}
