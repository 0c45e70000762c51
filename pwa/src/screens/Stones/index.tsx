import { useLocation } from "preact-iso";
import { useMemo } from "preact/hooks";
import type { Purpose } from "../../domain/records";
import { SelectField } from "../../parts/Fields";
import { LongList } from "../../parts/LongList";
import { useLive } from "../../store/live";
import { stones as say } from "../../words/stones";
import { kinds, purposes } from "../../words/trade";
import { inProtocolOrder } from "../Pooled/scaleOrder";
import { usePooled } from "../Pooled/usePooled";
import { Row, type RowGrade } from "./Row";
import { readShelf, readStonesAlone } from "./shelf";
import { matches, type StoneState } from "./state";
import styles from "./style.module.css";

const rowRem = 5.5;

export function Stones() {
  const { query, route } = useLocation();
  const alone = useLive(readStonesAlone, []);
  const begun = alone !== undefined;
  const whole = useLive(async () => (begun ? readShelf() : null), [begun]);
  const shelf = whole ?? alone;
  const search = query["q"] ?? "";
  const lot = query["lot"] ?? "";
  const state = (query["state"] ?? "") as StoneState | "";
  const purpose = (query["for"] ?? "") as Purpose | "";
  const pooled = usePooled(shelf?.mayDeal === true && purpose !== "" ? purpose : null);

  const change = (changes: Record<string, string>): void => {
    const next = Object.entries({ ...query, ...changes }).filter(([, value]) => value !== "");
    route(`/stones${next.length > 0 ? `?${new URLSearchParams(next).toString()}` : ""}`, true);
  };

  const rows = useMemo(
    () => (shelf?.rows ?? []).filter((row) =>
      (lot === "" || row.stone.lot_id === lot)
      && (state === "" || row.standing?.states.has(state) === true)
      && matches(search, [row.stone.code, kinds[row.stone.kind], row.lot?.name ?? "", row.lot?.code ?? ""])),
    [shelf, search, lot, state],
  );

  const grades = useMemo((): ReadonlyMap<string, RowGrade[]> => {
    const byStone = new Map<string, RowGrade[]>();
    const scales = inProtocolOrder(pooled?.answer?.scales ?? [], shelf?.protocols.filter((p) => p.purpose === purpose) ?? []);
    for (const scale of scales) {
      for (const grade of scale.stones) {
        if (grade.n_trials > 0) byStone.set(grade.stone_id, [...(byStone.get(grade.stone_id) ?? []), { ...grade, scale }]);
      }
    }
    return byStone;
  }, [pooled, shelf, purpose]);

  return (
    <div class="page page-wide">
      <header class="spread">
        <h1>{say.title}</h1>
        {shelf && <p class="soft figures" role="status">{say.count(rows.length, shelf.rows.length)}</p>}
        {shelf?.mayDeal === true && <a class="button" href={lot === "" ? "/intake" : `/intake?lot=${lot}`}>{say.takeIn}</a>}
      </header>
      <div class={styles.filters}>
        <input
          class={styles.search}
          type="search"
          value={search}
          placeholder={say.search}
          aria-label={say.search}
          autocomplete="off"
          onInput={(event) => change({ q: event.currentTarget.value })}
        />
        <SelectField
          name={say.state}
          value={state}
          empty={say.everyState}
          options={(Object.keys(say.states) as StoneState[]).map((value) => ({ value, words: say.states[value] }))}
          onSet={(value) => change({ state: value })}
        />
        <SelectField
          name={say.lot}
          value={lot}
          empty={say.everyLot}
          options={(shelf?.lots ?? []).map((l) => ({ value: l.id, words: `${l.code} ${l.name}` }))}
          onSet={(value) => change({ lot: value })}
        />
        {shelf?.mayDeal === true && (
          <SelectField
            name={say.gradesFor}
            value={purpose}
            empty={say.noGrades}
            options={(Object.keys(purposes) as Purpose[]).map((value) => ({ value, words: purposes[value] }))}
            onSet={(value) => change({ for: value })}
          />
        )}
      </div>

      {(shelf === undefined || (whole == null && state !== "")) && <p class="soft">{say.reading}</p>}
      {shelf?.rows.length === 0 && <p>{say.none}</p>}
      {whole != null && shelf !== undefined && rows.length === 0 && shelf.rows.length > 0 && (
        <div class="stack">
          <p>{say.noneFits}</p>
          <button type="button" class="button" onClick={() => change({ q: "", lot: "", state: "" })}>{say.clear}</button>
        </div>
      )}
      <LongList
        name="stones"
        place={`${search}|${lot}|${state}`}
        rowRem={rowRem}
        rows={rows}
        keyOf={(row) => row.stone.id}
        draw={(row) => <Row row={row} grades={purpose !== "" && shelf?.mayDeal === true ? grades.get(row.stone.id) ?? [] : undefined} />}
      />
    </div>
  );
}
