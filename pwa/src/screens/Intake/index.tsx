import { useLocation } from "preact-iso";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { continued, firstOfLot, nextCode, plainCode } from "../../domain/intake/codes";
import { gridFields, isHeader } from "../../domain/intake/columns";
import {
  asItStands, checkRows, emptyValues, newRow, offerOf, repeated, stoneOf, withValue, type IntakeRow, type RowField,
} from "../../domain/intake/rows";
import { pasted, withCodes, type Stage } from "../../domain/intake/stage";
import type { PhotoUse, PhotoView } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { newId, saveRecords, type RecordToSave } from "../../sync/commands";
import { intake as say } from "../../words/intake";
import { All } from "./All";
import { Bad, type Numbered } from "./Bad";
import { Card } from "./Card";
import { Grid, type Place } from "./Grid";
import { LotPick, lotTrouble } from "./LotPick";
import { Many, stageFrom } from "./Many";
import { Density, Photos, TroubleList } from "./Particulars";
import { readIntakeClub, type IntakeClub } from "./read";
import { StageSheet } from "./StageSheet";
import styles from "./style.module.css";
import { Taken, type TakenIn } from "./Taken";
import { useCalmly } from "./useCalmly";
import { useDesk } from "./useDesk";
import { draftKey, nothing, useIntake, type Intake as Draft, type IntakeValues, type LotChoice } from "./useIntake";

const minded = ["stone", "lot", "offer", "rule_set"] as const;

/** Taking in a lot: many stones from a desk, or one after another in the hand. */
export function Intake() {
  const club = useCalmly(minded, () => readIntakeClub());
  const draft = useIntake();
  if (club === undefined || draft === undefined) return <Page wide><p class="soft">{say.reading}</p></Page>;
  if (!club.mayDeal) {
    return <Page><Head back={{ href: "/stones", words: say.back }} title={say.title} /><p>{say.notForYou}</p></Page>;
  }
  return <Form club={club} draft={draft} />;
}

/** The code for the next row: after the last one in the grid, else as the lot or the club goes on. */
function codeAfter(rows: readonly IntakeRow[], lot: LotChoice, club: IntakeClub): string | null {
  const taken = new Set([...club.known.keys(), ...rows.map((row) => plainCode(row.values.code))]);
  const last = rows.findLast((row) => row.values.code.trim() !== "")?.values.code.trim();
  const next = last === undefined ? null : nextCode(last, taken);
  if (next !== null) return next;
  const ofLot = lot.kind === "here" ? (club.ofLot.get(lot.id) ?? []).map(({ code }) => code) : [];
  const lotCode = lot.kind === "new" ? lot.code.trim() : club.lots.find((one) => lot.kind === "here" && one.id === lot.id)?.code ?? "";
  return continued(ofLot, taken) ?? firstOfLot(lotCode, club.codes, taken);
}

function rowAfter(rows: readonly IntakeRow[], lot: LotChoice, club: IntakeClub): IntakeRow {
  const before = rows.at(-1);
  const values = before === undefined ? { ...emptyValues, currency: club.currency } : repeated(before.values);
  return newRow(newId(), { ...values, code: codeAfter(rows, lot, club) ?? "" }, { untouched: true });
}

/** A grid always offers a row to begin in; one that was merely offered makes way for others. */
const touched = (rows: readonly IntakeRow[]): IntakeRow[] => rows.filter((row) => !row.untouched);

function Form({ club, draft }: { club: IntakeClub; draft: Draft }) {
  const { query } = useLocation();
  const atDesk = useDesk();
  const { values, set, follow } = draft;
  const { lot, stage } = values;
  const [active, setActive] = useState(0);
  const [wanted, setWanted] = useState<Place | null>(null);
  const [begin, setBegin] = useState(false);
  const [taken, setTaken] = useState<TakenIn | null>(null);
  const [failed, setFailed] = useState<string | null>(null);
  const [taking, setTaking] = useState(false);
  const [undoable, setUndoable] = useState<readonly { readonly what: string; readonly rows: readonly IntakeRow[] }[]>([]);
  const foot = useRef<HTMLDivElement>(null);

  // There is always a row to begin in. It follows the lot, and is kept only once somebody types in it.
  const isEmpty = values.rows.length === 0;
  // Another id on every occasion: the row that was offered last may have become a stone.
  const offeredId = useMemo(() => ({ isEmpty, taken, id: newId() }), [isEmpty, taken]).id;
  const rows = useMemo(
    () => (values.rows.length > 0 || lot.kind === "none" ? values.rows : [{ ...rowAfter([], lot, club), id: offeredId }]),
    [values.rows, lot, club, offeredId],
  );

  const checked = useMemo(() => checkRows(rows, club.known, club.believable), [rows, club]);
  const numbered = useMemo((): Numbered[] => rows.flatMap((row, number) => {
    const found = checked[number];
    return row.untouched || found === undefined ? [] : [{ row, number, checked: found }];
  }), [rows, checked]);
  const wrong = numbered.filter((one) => !one.row.left_out && one.checked.troubles.length > 0);
  // A row in hand is not blamed for what is still to come; it keeps the others back all the same.
  const bad = wrong.filter((one) => one.number !== active || one.checked.troubles.some(({ kind }) => kind !== "missing"));
  const out = numbered.filter((one) => one.row.left_out);
  const good = numbered.filter((one) => !one.row.left_out && one.checked.troubles.length === 0);
  const noCode = numbered.filter((one) => one.row.values.code.trim() === "").length;
  const lotWrong = lotTrouble(lot, club);
  const at = Math.min(active, rows.length - 1);
  const current = rows[at];

  // Whoever comes from a lot's page means that lot.
  const asked = query["lot"];
  useEffect(() => {
    if (asked === undefined || values.lot.kind !== "none" || !club.lots.some((one) => one.id === asked)) return;
    follow({ ...values, lot: { kind: "here", id: asked } });
  }, [asked, values, club, follow]);

  const base = (now: IntakeValues): readonly IntakeRow[] => (now.rows.length > 0 ? now.rows : rows);
  const change = (what: string, next: (rows: readonly IntakeRow[], now: IntakeValues) => readonly IntakeRow[]): void => {
    setUndoable((before) => [...before.slice(-19), { what, rows }]);
    set((now) => ({ rows: next(base(now), now) }));
  };
  const undo = (): void => {
    const last = undoable.at(-1);
    if (last === undefined) return;
    setUndoable(undoable.slice(0, -1));
    set({ rows: last.rows });
  };
  const onRow = (number: number, row: IntakeRow): void => set((now) => ({ rows: base(now).map((one, i) => (i === number ? row : one)) }));
  const onPhoto = (id: string, view: PhotoView, photo: PhotoUse | null): void => set((now) => ({
    // By id and view, because a photo takes a moment to shrink and the hand goes on meanwhile.
    rows: base(now).map((one) => (one.id !== id ? one : {
      ...one, untouched: false, photos: [...one.photos.filter((other) => other.view !== view), ...(photo === null ? [] : [photo])],
    })),
  }));
  const onValue = (number: number, field: RowField, text: string): void =>
    set((now) => ({ rows: base(now).map((one, i) => (i === number ? withValue(one, field, text) : one)) }));
  const show = (number: number, field: RowField | null): void => {
    setActive(number);
    setBegin(false);
    if (field !== null) setWanted({ row: number, field });
  };
  /** Goes on to the row behind the last one, which is made unless it waits there untouched. */
  const onNew = (): void => {
    const last = rows.at(-1);
    const number = last?.untouched === true ? rows.length - 1 : rows.length;
    if (number === rows.length) set((now) => ({ rows: [...base(now), rowAfter(base(now), now.lot, club)] }));
    setActive(number);
    setBegin(true);
    setWanted({ row: number, field: "length_mm" });
  };

  const stageDefaults = (): Stage["defaults"] => {
    const last = touched(rows).at(-1)?.values;
    return { kind: last?.kind ?? "", form: last?.form ?? "", currency: last?.currency || club.currency };
  };
  const onPaste = (place: Place, text: string): void => {
    void Promise.all([import("../../domain/intake/table"), stageFrom(text, "", false, stageDefaults())]).then(([{ readTable }, given]) => {
      const read = readTable(text);
      if (read.kind !== "table") setFailed(given.kind === "trouble" ? given.words : null);
      else if (given.kind === "stage" && isHeader(read.lines[0]?.cells ?? [])) set({ stage: given.stage });
      else change(say.done.paste, (before, now) => pasted(before, place, read.lines, read.delimiter, (all) => rowAfter(all, now.lot, club)));
    });
  };

  const leaveOut = (items: readonly Numbered[]): void => {
    const ids = new Set(items.map(({ row }) => row.id));
    change(say.done.out, (before) => before.map((row) => (ids.has(row.id) ? { ...row, left_out: true } : row)));
  };

  const take = async (): Promise<void> => {
    const lotId = lot.kind === "none" ? null : lot.id;
    if (lotId === null || lotWrong !== null || wrong.length > 0 || good.length === 0 || taking) return;
    setTaking(true);
    try {
      await draft.settled();
      const offers = good.flatMap(({ row }) => offerOf(row) ?? []);
      const left = out.map(({ row }) => row);
      const leftValues: IntakeValues = { ...nothing, lot: { kind: "here", id: lotId }, rows: left };
      const records: RecordToSave[] = [
        ...(lot.kind === "new" ? [{ thing: "lot" as const, id: lotId, base: null, body: {
          code: lot.code.trim(), name: lot.name.trim(), quarry: lot.quarry.trim(), received_on: lot.received_on === "" ? null : lot.received_on, notes: lot.notes.trim(),
        } }] : []),
        ...good.map(({ row }) => ({ thing: "stone" as const, id: row.id, base: null, body: stoneOf(row, lotId) })),
        ...offers.map((body) => ({ thing: "offer" as const, id: body.stone_id, base: null, body })),
      ];
      await saveRecords(records, { key: draftKey, left: left.length === 0 ? null : { ...leftValues } });
      follow(left.length === 0 ? { ...nothing, lot: { kind: "here", id: lotId } } : leftValues);
      setTaken({
        lotId,
        lotCode: lot.kind === "new" ? lot.code.trim() : club.lots.find((one) => one.id === lotId)?.code ?? "",
        stoneIds: good.map(({ row }) => row.id),
        offerIds: offers.map(({ stone_id }) => stone_id),
        n_left: left.length,
      });
      setFailed(null);
      setUndoable([]);
      setActive(0);
      window.scrollTo(0, 0);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    } finally {
      setTaking(false);
    }
  };

  const obstacle = lotWrong !== null ? say.lotNeeds : wrong.length > 0 ? say.mendFirst(wrong.length) : good.length === 0 ? say.nothingYet : null;
  const ready = lot.kind !== "none" && stage === null;

  return (
    <Page
      wide
      actions={ready ? (
        <>
          {!atDesk && (
            <>
              <button type="button" class="button" disabled={at <= 0} onClick={() => show(at - 1, null)}>{say.previous}</button>
              <button
                type="button"
                class="button"
                disabled={at === rows.length - 1 && current?.untouched === true}
                onClick={() => (at >= rows.length - 1 ? onNew() : show(at + 1, null))}
              >
                {say.next}
              </button>
            </>
          )}
          <button type="button" class={`button button-main ${styles.take}`} disabled={obstacle !== null || taking} onClick={() => void take()}>
            {obstacle ?? say.take(good.length)}
          </button>
        </>
      ) : undefined}
    >
      <Head back={{ href: "/stones", words: say.back }} title={say.title}>
        <p class="soft">{say.kept}</p>
      </Head>
      {draft.trouble !== null && <p class="sheet needs-you" role="alert">{say.trouble(draft.trouble)}</p>}
      {taken !== null && <Taken taken={taken} onDone={() => setTaken(null)} />}
      <LotPick lot={lot} club={club} onLot={(next) => set({ lot: next })} />
      {lot.kind !== "none" && stage === null && <Many defaults={stageDefaults()} onStage={(next) => set({ stage: next })} />}
      {stage !== null && (
        <StageSheet
          stage={stage}
          club={club}
          rows={touched(rows)}
          onStage={(next) => set({ stage: next })}
          onRows={(more) => {
            change(say.done.stage, (before) => [...touched(before), ...more]);
            set({ stage: null });
          }}
        />
      )}
      {ready && current !== undefined && (
        <>
          {atDesk ? (
            <section class="stack" aria-label={say.grid}>
              <p class="note">{say.gridHelp}</p>
              <Grid
                rows={rows}
                checked={checked}
                active={at}
                wanted={wanted}
                onActive={setActive}
                onValue={onValue}
                onNew={onNew}
                onPaste={onPaste}
                onLeave={() => foot.current?.querySelector<HTMLElement>("button, input")?.focus()}
              />
            </section>
          ) : (
            <Card
              row={current}
              number={at}
              all={rows.length}
              checked={checked[at] ?? { troubles: [], remarks: [], density: null }}
              begin={begin}
              onValue={(field, text) => onValue(at, field, text)}
              onPhoto={(view, photo) => onPhoto(current.id, view, photo)}
            />
          )}
          <div ref={foot} class="row">
            {atDesk && <button type="button" class="button" onClick={onNew}>{say.addRow}</button>}
            {noCode > 0 && (
              <button type="button" class="button" onClick={() => change(say.done.fill, (before, now) => withCodes(before, (all) => codeAfter(all, now.lot, club)))}>
                {say.fillCodes(noCode)}
              </button>
            )}
            {!current.left_out && !current.untouched && (
              <button type="button" class="button button-plain" onClick={() => leaveOut([{ row: current, number: at, checked: checked[at] ?? { troubles: [], remarks: [], density: null } }])}>
                {say.leaveOut}
              </button>
            )}
            {undoable.length > 0 && <button type="button" class="button button-plain" onClick={undo}>{say.undo(undoable.at(-1)?.what ?? "")}</button>}
          </div>
          {!atDesk && rows.length > 1 && (
            <details>
              <summary class={styles.summary}>{say.all(rows.length)}</summary>
              <All rows={rows} checked={checked} active={at} onActive={(number) => show(number, null)} />
            </details>
          )}
          {atDesk && (
            <section class={`sheet ${styles.particulars}`} aria-label={say.nameOf(at + 1, current.values.code, null)}>
              <div class="stack">
                <h2>{say.nameOf(at + 1, current.values.code, null)}</h2>
                {current.from !== null && <p class="note">{say.fromLine(current.from.file, current.from.line)}</p>}
                <Density row={current} checked={checked[at] ?? { troubles: [], remarks: [], density: null }} />
                {!current.untouched && <TroubleList row={current} checked={checked[at] ?? { troubles: [], remarks: [], density: null }} />}
              </div>
              <Photos key={current.id} row={current} onPhoto={(view, photo) => onPhoto(current.id, view, photo)} />
            </section>
          )}
          <Bad
            bad={bad}
            out={out}
            onMend={(item) => show(item.number, item.checked.troubles.find(({ field }) => field !== null)?.field ?? gridFields[0] ?? null)}
            onLeaveOut={leaveOut}
            onPutBack={(item) => onRow(item.number, { ...item.row, left_out: false })}
            onRemove={(item) => {
              change(say.done.remove, (before) => before.filter((row) => row.id !== item.row.id));
              setActive((now) => Math.max(0, now > item.number ? now - 1 : now));
            }}
            onAsItIs={(item) => onRow(item.number, asItStands(item.row))}
            freeCode={() => codeAfter(rows, lot, club)}
            onCode={(item, code) => onValue(item.number, "code", code)}
          />
        </>
      )}
      {failed !== null && <p class="sheet needs-you" role="alert">{failed}</p>}
    </Page>
  );
}
