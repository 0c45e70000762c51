import { useEffect, useId, useState } from "preact/hooks";
import { stageOf, type Stage } from "../../domain/intake/stage";
import { templateColumns, templateCsv } from "../../domain/intake/template";
import { intake as say } from "../../words/intake";
import styles from "./style.module.css";

const mostBytes = 5_000_000;
const mostLines = 5_000;

export type TableGiven = { readonly kind: "stage"; readonly stage: Stage } | { readonly kind: "trouble"; readonly words: string };

/** Text as a table with its columns recognised. The reader is fetched when it is wanted. */
export async function stageFrom(text: string, file: string, notUtf8: boolean, defaults: Stage["defaults"]): Promise<TableGiven> {
  const { readTable } = await import("../../domain/intake/table");
  const read = readTable(text);
  if (read.kind === "empty") return { kind: "trouble", words: say.fileTrouble.empty };
  if (read.kind === "open_quote") return { kind: "trouble", words: say.fileTrouble.open_quote(read.line) };
  if (read.lines.length > mostLines) return { kind: "trouble", words: say.fileTrouble.too_many(read.lines.length, mostLines) };
  const stage = stageOf({ file, delimiter: read.delimiter, notUtf8, lines: read.lines, defaults });
  return stage.lines.length === 0 ? { kind: "trouble", words: say.fileTrouble.empty } : { kind: "stage", stage };
}

async function stageFromFile(file: File, defaults: Stage["defaults"]): Promise<TableGiven> {
  if (file.size > mostBytes) return { kind: "trouble", words: say.fileTrouble.too_large };
  try {
    const { decode } = await import("../../domain/intake/table");
    const { text, encoding } = decode(await file.arrayBuffer());
    return await stageFrom(text, file.name, encoding === "windows-1252", defaults);
  } catch (error) {
    return { kind: "trouble", words: say.fileTrouble.unread(error instanceof Error ? error.message : String(error)) };
  }
}

/** Single words typed by hand are no table; what comes from a spreadsheet has tabs or line breaks. */
const isTable = (text: string): boolean => /[\t\n\r]/.test(text.trim());

/** From a spreadsheet: a file, pasted rows, and what a table should hold. */
export function Many({ defaults, onStage }: { defaults: Stage["defaults"]; onStage: (stage: Stage) => void }) {
  const id = useId();
  const [trouble, setTrouble] = useState<string | null>(null);
  const take = (given: TableGiven): void => {
    setTrouble(given.kind === "trouble" ? given.words : null);
    if (given.kind === "stage") onStage(given.stage);
  };
  return (
    <details class="sheet">
      <summary class={styles.summary}>{say.many}</summary>
      <div class="stack">
        <p>{say.manyLead}</p>
        <div class="row">
          <label class={`button ${styles.file}`}>
            {say.file}
            <input
              class="visually-hidden"
              type="file"
              accept=".csv,.tsv,.txt,text/csv,text/tab-separated-values,text/plain"
              onChange={(event) => {
                const box = event.currentTarget;
                const [file] = box.files ?? [];
                if (file) void stageFromFile(file, defaults).then(take);
                // The same file can be chosen again once it was mended.
                box.value = "";
              }}
            />
          </label>
          <Template />
        </div>
        <div class="field">
          <label for={`${id}-paste`}>{say.pasteBox}</label>
          <textarea
            id={`${id}-paste`}
            rows={2}
            spellcheck={false}
            // Taken before the browser writes hundreds of lines into the box, which is slow and of no use.
            onPaste={(event) => {
              const text = event.clipboardData?.getData("text/plain") ?? "";
              if (!isTable(text)) return;
              event.preventDefault();
              void stageFrom(text, "", false, defaults).then(take);
            }}
            onInput={(event) => {
              const box = event.currentTarget;
              if (!isTable(box.value)) return;
              const text = box.value;
              box.value = "";
              void stageFrom(text, "", false, defaults).then(take);
            }}
          />
        </div>
        {trouble !== null && <p class="sheet needs-you" role="alert">{trouble}</p>}
        <details>
          <summary class={styles.summary}>{say.columnsHelp}</summary>
          <table class={styles.columnsHelp}>
            <caption class="visually-hidden">{say.columnsTable}</caption>
            <thead><tr><th scope="col">{say.column}</th><th scope="col">{say.meaning}</th></tr></thead>
            <tbody>
              {templateColumns.map(({ field, header }) => (
                <tr key={field}><th scope="row">{header}</th><td>{say.columnNotes[field]}</td></tr>
              ))}
            </tbody>
          </table>
        </details>
      </div>
    </details>
  );
}

function Template() {
  const [url, setUrl] = useState<string | undefined>();
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([templateCsv()], { type: "text/csv;charset=utf-8" }));
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, []);
  return <a class="button" href={url} download="stones.csv">{say.template}</a>;
}
