import type { ComponentChildren } from "preact";
import styles from "./style.module.css";

/**
 * A screen with its actions under the thumb: they stick to the bottom edge of the window while
 * the rest scrolls. `flow` hides the way around the app on a phone while one job is being done.
 */
export function Page(props: { children: ComponentChildren; actions?: ComponentChildren; wide?: boolean; flow?: boolean }) {
  return (
    <div class={`${styles.screen} ${props.flow ? "flow" : ""}`}>
      <div class={`page ${props.wide ? "page-wide" : ""} ${styles.body}`}>{props.children}</div>
      {props.actions && (
        <div class={styles.bar}>
          <div class={`${styles.actions} ${props.wide ? styles.wide : ""}`}>{props.actions}</div>
        </div>
      )}
    </div>
  );
}

/** Where a screen stands under another: the way back, then the title. */
export function Head(props: { back?: { href: string; words: string }; title: ComponentChildren; children?: ComponentChildren }) {
  return (
    <header class={styles.head}>
      {props.back && (
        <a class={styles.back} href={props.back.href}>
          <svg viewBox="0 0 12 20" aria-hidden="true"><path d="M10 2 2 10l8 8" /></svg>
          {props.back.words}
        </a>
      )}
      <h1>{props.title}</h1>
      {props.children}
    </header>
  );
}
