import { useLocation } from "preact-iso";
import { useState } from "preact/hooks";
import { readLabel } from "../../domain/label";
import type { Scanner as ScannerPart } from "../../parts/Scanner";
import { readOne } from "../../store/catalogue";
import { bench as words } from "../../words/bench";
import { findStoneByCode } from "./read";
import styles from "./scan.module.css";

/** A camera needs a secure address; elsewhere the code is typed. */
const hasCamera = (): boolean => "mediaDevices" in navigator;

async function stoneOf(text: string): Promise<{ readonly id: string } | { readonly say: string }> {
  const label = readLabel(text);
  if (label.kind === "other") return { say: words.labelOther };
  const found = label.kind === "stone" ? await readOne("stone", label.id) : await findStoneByCode(label.code);
  if (found !== null) return { id: found.record.id };
  return { say: label.kind === "code" ? words.codeUnknown(label.code) : words.labelUnknown };
}

/** Scan the label; the stone opens. The camera's part is fetched when it is asked for. */
export function Scan() {
  const { route } = useLocation();
  const [part, setPart] = useState<{ readonly Scanner: typeof ScannerPart } | "coming" | null>(null);
  const [told, setTold] = useState<string | null>(null);
  if (!hasCamera()) return null;
  const open = (): void => {
    setPart("coming");
    setTold(null);
    import("../../parts/Scanner").then(setPart, () => {
      setPart(null);
      setTold(words.scanFailed);
    });
  };
  const read = async (text: string): Promise<void> => {
    const stone = await stoneOf(text);
    if ("id" in stone) route(`/stones/${stone.id}`);
    else setTold(stone.say);
  };
  if (part === null || part === "coming") {
    return (
      <div class={styles.scan}>
        <button type="button" class="button" disabled={part === "coming"} onClick={open}>{words.scan}</button>
        {told !== null && <p role="alert">{told}</p>}
      </div>
    );
  }
  return <div class={styles.scan}><part.Scanner onRead={(text) => void read(text)} onClose={() => setPart(null)} told={told} /></div>;
}
