import { useRef, useState } from "preact/hooks";
import { readQueueBack, saveQueue, type ReadBack } from "../../sync/commands";
import { me as words } from "../../words/me";

/** Hands a text to the browser as a download. */
function download(text: string, name: string): void {
  const href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = href;
  link.download = name;
  link.click();
  // The browser has taken hold of it by then; kept longer it would hold the photos in memory.
  setTimeout(() => URL.revokeObjectURL(href), 60_000);
}

/** The queue saved to a file, and read back. */
export function QueueFile({ records, photos }: { readonly records: number; readonly photos: number }) {
  const chooser = useRef<HTMLInputElement>(null);
  const [outcome, setOutcome] = useState<{ readonly say: string; readonly wrong: boolean } | null>(null);

  const save = async (): Promise<void> => {
    const now = new Date();
    download(await saveQueue(now), words.fileName(now.toISOString().slice(0, 10)));
  };
  const told = (read: ReadBack): string =>
    [words.wasRead(read.records, read.drafts, read.present), read.others.length > 0 ? words.belongTo(read.others) : ""].join(" ").trim();
  const readBack = async (input: HTMLInputElement): Promise<void> => {
    const [file] = input.files ?? [];
    if (file === undefined) return;
    try {
      setOutcome({ say: told(await readQueueBack(await file.text())), wrong: false });
    } catch (error) {
      setOutcome({ say: error instanceof Error ? error.message : String(error), wrong: true });
    } finally {
      input.value = ""; // So that the same file can be chosen again.
    }
  };

  return (
    <section class="sheet">
      <h2>{words.file}</h2>
      <p>{words.waits(records, photos)}</p>
      <p class="note">{words.fileHelp}</p>
      <div class="row">
        <button type="button" class="button" onClick={save}>{words.save}</button>
        <button type="button" class="button" onClick={() => chooser.current?.click()}>{words.readBack}</button>
        <input
          ref={chooser} type="file" accept="application/json,.json" hidden aria-label={words.readBack}
          onChange={(event) => readBack(event.currentTarget)}
        />
      </div>
      {outcome === null ? null : <p role={outcome.wrong ? "alert" : "status"}>{outcome.say}</p>}
    </section>
  );
}
