import { useEffect, useState } from "preact/hooks";

/** Longest wait for a frame; a page out of view draws none. */
const noFrameMs = 300;

/**
 * False until `ready` has been on the screen for a frame. What takes long to read waits for it, so that on a slow
 * phone the member sees the screen first and its long lists a moment later, instead of neither for twice as long.
 */
export function useSettled(ready: boolean): boolean {
  const [settled, setSettled] = useState(false);
  useEffect(() => {
    if (!ready) return;
    let current = true;
    const settle = (): void => { if (current) setSettled(true); };
    requestAnimationFrame(() => setTimeout(settle));
    const timer = setTimeout(settle, noFrameMs);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [ready]);
  return settled;
}
