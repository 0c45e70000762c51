import { useEffect, useRef, useState } from "preact/hooks";
import type { Thing } from "../../domain/records";
import { useLive } from "../../store/live";
import { readPulse } from "../../store/pulse";

const calmMs = 1_000;

/**
 * The answer of a large local read, kept up to date at leisure: while hundreds of records go out one by one it is read
 * once a second and at the end, not hundreds of times. `undefined` until the first answer.
 */
export function useCalmly<T>(things: readonly Thing[], read: () => Promise<T>): T | undefined {
  const pulse = useLive(() => readPulse(things), []);
  const [answer, setAnswer] = useState<T | undefined>();
  const [failure, setFailure] = useState<{ readonly error: unknown } | undefined>();
  const last = useRef(0);
  const latest = useRef(read);
  latest.current = read;

  useEffect(() => {
    if (pulse === undefined) return;
    let current = true;
    const timer = setTimeout(() => {
      last.current = Date.now();
      latest.current().then(
        (value) => { if (current) setAnswer(value); },
        (error: unknown) => setFailure({ error }),
      );
    }, Math.max(0, last.current + calmMs - Date.now()));
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [pulse]);

  if (failure !== undefined) throw failure.error;
  return answer;
}
