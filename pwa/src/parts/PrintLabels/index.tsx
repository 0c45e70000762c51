import { useEffect, useId, useState } from "preact/hooks";
import { labelSheetKey } from "../../constants";
import {
  labelSheets, mostLabels, nLabels, nSheets, sheetsOn, type LabelLayoutName, type LabelPaper, type LabelSheet,
} from "../../domain/label_sheets";
import { labels as say } from "../../words/labels";
import { Choice } from "../Choice";
import { NumberField, SelectField } from "../Fields";
import styles from "./style.module.css";

/** What printLabels of sync/labels.ts answers. */
type Printed =
  | { readonly kind: "here"; readonly value: Blob }
  | { readonly kind: string; readonly detail: string };

/**
 * Labels for some stones: which paper, which sheet, where its first free label is; then the PDF to open or save.
 *
 *   <PrintLabels stoneIds={ids} print={printLabels} onClose={close} />      print is sync/labels.ts printLabels
 */
export function PrintLabels(props: {
  stoneIds: readonly string[];
  print: (stoneIds: readonly string[], paper: LabelPaper, skip: number, layout: LabelLayoutName | null) => Promise<Printed>;
  onClose?: () => void;
}) {
  const { stoneIds } = props;
  const title = useId();
  const [sheet, setSheet] = useState(lastSheet);
  const [skip, setSkip] = useState(0);
  const [printed, setPrinted] = useState<Printed | "drawing" | null>(null);
  const url = useBlobUrl(printed !== null && printed !== "drawing" && "value" in printed ? printed.value : null);
  const n = stoneIds.length;
  const wrong = n === 0 ? say.noStones : n > mostLabels ? say.tooMany(n, mostLabels) : null;

  const choose = (next: LabelSheet): void => {
    setSheet(next);
    setSkip((now) => Math.min(now, nLabels(next) - 1));
    setPrinted(null);
    keepSheet(next);
  };
  const used = (next: number): void => {
    setSkip(next);
    setPrinted(null);
  };
  const make = async (): Promise<void> => {
    setPrinted("drawing");
    setPrinted(await props.print(stoneIds, sheet.paper, skip, sheet.layout));
  };

  return (
    <section class="sheet" aria-labelledby={title}>
      <h2 id={title}>{say.title}</h2>
      <p>{say.lead(n)}</p>
      <Choice
        name={say.paper}
        lay="strip"
        value={sheet.paper}
        options={(["a4", "letter"] as const).map((value) => ({ value, words: say.papers[value] }))}
        onChoose={(paper) => choose(sheetsOn(paper)[0] ?? sheet)}
      />
      <SelectField<LabelLayoutName>
        name={say.sheet}
        value={sheet.layout}
        options={sheetsOn(sheet.paper).map((one) => ({
          value: one.layout,
          words: say.size(tenths(one.width_mm), tenths(one.height_mm), nLabels(one), one.cut),
        }))}
        onSet={(layout) => choose(sheetsOn(sheet.paper).find((one) => one.layout === layout) ?? sheet)}
      />
      <div class={styles.used}>
        <NumberField
          key={`${sheet.paper} ${sheet.layout}`}
          name={say.skip}
          help={say.skipHelp}
          value={skip}
          low={0}
          high={nLabels(sheet) - 1}
          whole
          onSet={(value) => used(value ?? 0)}
        />
        <FirstSheet sheet={sheet} skip={skip} n={n} onSkip={used} />
      </div>
      <p class="figures" role="status">{say.sheets(n, nSheets(sheet, n, skip))}</p>
      {wrong !== null && <p class="wrong">{wrong}</p>}
      {url === null && (
        <div class="row">
          <button type="button" class="button button-main" disabled={wrong !== null || printed === "drawing"} onClick={() => void make()}>
            {printed === "drawing" ? say.making : say.make}
          </button>
          {props.onClose && <button type="button" class="button" onClick={props.onClose}>{say.close}</button>}
        </div>
      )}
      {url !== null && (
        <div class="stack" role="status">
          <p><strong>{say.ready}</strong> {say.fullSize}</p>
          <div class="row">
            <a class="button button-main" href={url} target="_blank" rel="noopener">{say.open}</a>
            <a class="button" href={url} download="stone-labels.pdf">{say.save}</a>
            {props.onClose && <button type="button" class="button" onClick={props.onClose}>{say.close}</button>}
          </div>
        </div>
      )}
      {printed !== null && printed !== "drawing" && "detail" in printed && (
        <p class="sheet needs-you" role="alert">
          {say.trouble[printed.kind] ?? say.trouble["trouble"]}
          {printed.kind === "trouble" && printed.detail !== "" ? ` ${printed.detail}` : ""}
        </p>
      )}
    </section>
  );
}

/** The first sheet to scale: used places hatched, places to be printed filled. A tap says where the free ones begin. */
function FirstSheet({ sheet, skip, n, onSkip }: { sheet: LabelSheet; skip: number; n: number; onSkip: (skip: number) => void }) {
  const wide = 10;
  const high = (10 * sheet.height_mm) / sheet.width_mm;
  const gap = 0.9;
  return (
    // The number beside it says the same to whoever cannot see or tap a drawing.
    <svg
      class={styles.drawing}
      viewBox={`0 0 ${sheet.columns * (wide + gap) + gap} ${sheet.rows * (high + gap) + gap}`}
      aria-hidden="true"
    >
      {Array.from({ length: nLabels(sheet) }, (_, i) => (
        <rect
          key={i}
          class={i < skip ? styles.gone : i < skip + n ? styles.filled : styles.free}
          x={gap + (i % sheet.columns) * (wide + gap)}
          y={gap + Math.floor(i / sheet.columns) * (high + gap)}
          width={wide}
          height={high}
          rx="0.5"
          onClick={() => onSkip(i)}
        />
      ))}
    </svg>
  );
}

const tenths = (value: number): string => String(Math.round(value * 10) / 10);

/** The address of bytes held here; let go when they are no longer shown. */
function useBlobUrl(blob: Blob | null): string | null {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    if (blob === null) {
      setUrl(null);
      return;
    }
    const made = URL.createObjectURL(blob);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [blob]);
  return url;
}

/** A dealer buys one kind of sheet and stays with it. Storage may be closed to us; then it is asked every time. */
function lastSheet(): LabelSheet {
  const first = labelSheets[0] as LabelSheet;
  try {
    const kept = localStorage.getItem(labelSheetKey);
    return labelSheets.find((one) => `${one.paper} ${one.layout}` === kept) ?? first;
  } catch {
    return first;
  }
}

function keepSheet(sheet: LabelSheet): void {
  try {
    localStorage.setItem(labelSheetKey, `${sheet.paper} ${sheet.layout}`);
  } catch {
    // Nothing is lost but a choice.
  }
}
