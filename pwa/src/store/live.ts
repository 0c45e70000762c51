import { liveQuery } from "dexie";
import { useEffect, useState } from "preact/hooks";

/**
 * The answer of a local read, kept up to date: it is read again whenever a table it touched changes, in this
 * tab or another. `undefined` until the first answer. Everything `read` uses from outside belongs in `inputs`.
 * A read that fails is thrown into the screen, where the error boundary shows it.
 */
export function useLive<T>(read: () => Promise<T>, inputs: readonly unknown[]): T | undefined {
  const [answer, setAnswer] = useState<{ readonly inputs: readonly unknown[]; readonly value: T } | undefined>();
  const [failure, setFailure] = useState<{ readonly error: unknown } | undefined>();

  useEffect(() => {
    // Dexie follows what an async function reads; of a plain function that returns a promise it loses the thread,
    // and the screen would then miss changes. So whatever comes is wrapped in an async one.
    const subscription = liveQuery(async () => read()).subscribe({
      next: (value) => setAnswer({ inputs, value }),
      error: (error: unknown) => setFailure({ error }),
    });
    return () => subscription.unsubscribe();
    // eslint-disable-next-line react-hooks/exhaustive-deps -- the caller names what the read depends on
  }, inputs);

  if (failure !== undefined) throw failure.error;
  // An answer to earlier inputs is not shown as if it were for these.
  const current = answer?.inputs.length === inputs.length && answer.inputs.every((was, i) => Object.is(was, inputs[i]));
  return current ? answer.value : undefined;
}
