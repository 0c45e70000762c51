import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import styles from "./style.module.css";

/**
 * A sheet laid over the screen for one short job: from the bottom edge on a phone, in the middle elsewhere. The
 * browser's own dialog, so that focus, Escape and readers behave as people are used to.
 */
export function Over(props: { readonly title: ComponentChildren; readonly onClose: () => void; readonly children: ComponentChildren }) {
  const box = useRef<HTMLDialogElement>(null);
  const head = useRef<HTMLHeadingElement>(null);
  const title = useId();
  useEffect(() => {
    const dialog = box.current;
    if (dialog === null) return;
    if (!dialog.open) dialog.showModal();
    // Left to itself the browser goes to the first thing to press, which may lie far down, and scrolls past the rest.
    head.current?.focus();
    return () => dialog.close();
  }, []);
  return (
    <dialog
      ref={box}
      class={styles.over}
      aria-labelledby={title}
      onCancel={(event) => {
        event.preventDefault();
        props.onClose();
      }}
      // A tap beside the sheet lands on the dialog itself; one on the sheet lands on what is in it.
      onClick={(event) => {
        if (event.target === box.current) props.onClose();
      }}
    >
      <div class={styles.sheet}>
        <h2 id={title} ref={head} tabIndex={-1}>{props.title}</h2>
        {props.children}
      </div>
    </dialog>
  );
}
