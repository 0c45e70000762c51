import { useRef, useState } from "preact/hooks";
import type { DeskStone } from "../../domain/board";
import type { Act, LeftAlone } from "../../domain/board_acts";
import { saveRecords, type RecordToSave } from "../../sync/commands";
import { deskActs as say } from "../../words/desk";
import styles from "./style.module.css";

const mostNamed = 12;
const codesOf = (rows: readonly DeskStone[]): string => {
  const named = rows.slice(0, mostNamed).map((row) => row.stone.code).join(", ");
  return rows.length > mostNamed ? `${named} ${say.andMore(rows.length - mostNamed)}` : named;
};

/**
 * An act before it is done: what it does to how many, and which stones it leaves alone. Then the one button, and
 * afterwards what was done. All its records are kept on the phone in one step, or none is, so nothing is ever done by
 * half. `act` is null while the form above it lacks something.
 */
export function Settle<Body>(props: {
  readonly act: Act<Body> | null;
  readonly will: (n: number) => string;
  readonly go: (n: number) => string;
  readonly did: (n: number) => string;
  /** The record that is written for one stone. */
  readonly record: (body: Body, row: DeskStone) => RecordToSave;
  /** What the form lacks, said when the button is pressed too early. */
  readonly lacks?: string;
  readonly onDone: () => void;
  readonly onClose: () => void;
}) {
  const { act } = props;
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState<string | null>(null);
  const [outcome, setOutcome] = useState<{ readonly left: readonly LeftAlone[]; readonly done: number } | null>(null);
  // Two quick taps are one act.
  const underway = useRef(false);

  if (outcome !== null) {
    return (
      <div class="stack" role="status">
        <p><strong>{props.did(outcome.done)}</strong> {say.kept}</p>
        <LeftAlones leaves={outcome.left} />
        <button type="button" class="button button-main" onClick={props.onClose}>{say.close}</button>
      </div>
    );
  }

  const go = async (): Promise<void> => {
    if (act === null) {
      setWrong(props.lacks ?? null);
      return;
    }
    if (underway.current) return;
    underway.current = true;
    setBusy(true);
    try {
      await saveRecords(act.does.map(({ row, body }) => props.record(body, row)));
      setOutcome({ left: act.leaves, done: act.does.length });
      props.onDone();
    } catch (error) {
      setWrong(say.failed(error instanceof Error ? error.message : String(error)));
    } finally {
      underway.current = false;
      setBusy(false);
    }
  };

  const n = act?.does.length ?? 0;
  return (
    <div class="stack">
      {act !== null && (n === 0 ? <p>{say.nobody}</p> : <p role="status"><strong>{props.will(n)}</strong></p>)}
      {act !== null && <LeftAlones leaves={act.leaves} />}
      {wrong !== null && <p class="sheet needs-you" role="alert">{wrong}</p>}
      {(act === null || n > 0) && (
        <button type="button" class="button button-main" disabled={busy} onClick={() => void go()}>
          {busy ? say.saving : props.go(n)}
        </button>
      )}
    </div>
  );
}

/** Which stones are left alone, by the reason. Those that are not ready say what they lack, each for itself. */
export function LeftAlones({ leaves }: { readonly leaves: readonly LeftAlone[] }) {
  if (leaves.length === 0) return null;
  const reasons = [...new Set(leaves.map((one) => one.why))];
  return (
    <div class="stack">
      <p>{say.leftTitle(leaves.length)}:</p>
      <ul class={styles.sentences}>
        {reasons.map((why) => {
          const rows = leaves.filter((one) => one.why === why).map((one) => one.row);
          if (why !== "not_ready") return <li key={why}>{codesOf(rows)}: {say.left[why]}</li>;
          return [
            ...rows.slice(0, mostNamed).map((row) => <li key={row.stone_id}>{row.stone.code}: {row.blocks[0] ?? say.left[why]}</li>),
            ...(rows.length > mostNamed ? [<li key="more">{say.andMore(rows.length - mostNamed)}</li>] : []),
          ];
        })}
      </ul>
    </div>
  );
}
