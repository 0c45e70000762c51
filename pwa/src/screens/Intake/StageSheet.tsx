import { useMemo } from "preact/hooks";
import { isMeasure, type ColumnMeaning } from "../../domain/intake/columns";
import type { LengthUnit, MassUnit, Unit } from "../../domain/intake/figures";
import { checkRows, type IntakeRow } from "../../domain/intake/rows";
import { missingColumns, reassigned, stagedRows, stageMark, withUnit, type Stage } from "../../domain/intake/stage";
import { newId } from "../../sync/commands";
import { intake as say } from "../../words/intake";
import { kinds, forms } from "../../words/trade";
import { Named } from "./Bad";
import { optionsOf } from "./options";
import type { IntakeClub } from "./read";
import styles from "./style.module.css";

const lengths: readonly LengthUnit[] = ["mm", "cm", "in"];
const masses: readonly MassUnit[] = ["g", "kg", "oz", "lb"];
const meanings = Object.keys(say.meanings) as Exclude<ColumnMeaning, null>[];
const samples = 3;

/** A table before it goes into the grid: what each column was taken for, what the first stones come to, which lines are bad. */
export function StageSheet(props: {
  stage: Stage;
  club: IntakeClub;
  /** Rows of the grid, whose codes count as well. */
  rows: readonly IntakeRow[];
  onStage: (stage: Stage | null) => void;
  onRows: (rows: readonly IntakeRow[]) => void;
}) {
  const { stage, club } = props;
  const staged = useMemo(() => stagedRows(stage, () => newId()), [stage]);
  const checked = useMemo(
    () => checkRows([...props.rows, ...staged], club.known, club.believable).slice(props.rows.length),
    [props.rows, staged, club],
  );
  const missing = missingColumns(stage);
  const items = staged.map((row, i) => ({ row, number: i, checked: checked[i] ?? { troubles: [], remarks: [], density: null } }));
  const bad = items.filter((one) => one.checked.troubles.length > 0);
  const mark = stageMark(stage);
  const headerOf = (i: number): string => stage.header?.[i] || say.nth(i + 1);
  const setDefault = (name: keyof Stage["defaults"], value: string): void =>
    props.onStage({ ...stage, defaults: { ...stage.defaults, [name]: value } });

  return (
    <section class="sheet" aria-label={say.stageTitle(stage.file)}>
      <h2>{say.stageTitle(stage.file)}</h2>
      <p>{say.stageLead(stage.lines.length, stage.header !== null)} {mark !== null && say.mark[mark]}</p>
      {stage.notUtf8 && <p class={styles.remark}>{say.notUtf8}</p>}
      <ul class={styles.columns}>
        {stage.uses.map((use, i) => (
          <li key={i}>
            <span class={styles.header}>
              <strong>{headerOf(i)}</strong>
              <span class="note">{stage.lines.slice(0, samples).map(({ cells }) => cells[i] ?? "").filter((cell) => cell !== "").join(" · ")}</span>
            </span>
            <select
              class={styles.pick}
              aria-label={say.holds(headerOf(i))}
              value={use.meaning ?? ""}
              onChange={(event) => props.onStage(reassigned(stage, i, (event.currentTarget.value || null) as ColumnMeaning))}
            >
              <option value="">{say.leftColumn}</option>
              {meanings.map((meaning) => <option key={meaning} value={meaning}>{say.meanings[meaning]}</option>)}
            </select>
            {isMeasure(use.meaning) && (
              <select
                class={styles.unit}
                aria-label={say.unit(headerOf(i))}
                value={use.unit ?? ""}
                onChange={(event) => props.onStage(withUnit(stage, i, event.currentTarget.value as Unit))}
              >
                {(use.meaning === "mass_g" ? masses : lengths).map((unit) => <option key={unit} value={unit}>{unit}</option>)}
              </select>
            )}
          </li>
        ))}
      </ul>
      <fieldset class={styles.defaults}>
        <legend>{say.forAll}</legend>
        {(["kind", "form"] as const).map((name) => (
          <label key={name} class={styles.default}>
            {say.meanings[name]}
            <select class={styles.pick} value={stage.defaults[name]} onChange={(event) => setDefault(name, event.currentTarget.value)}>
              {(optionsOf[name] ?? []).map((option) => <option key={option.value} value={option.value}>{option.words}</option>)}
            </select>
          </label>
        ))}
        <label class={styles.default}>
          {say.meanings.currency}
          <input class={styles.pick} maxLength={3} value={stage.defaults.currency} onInput={(event) => setDefault("currency", event.currentTarget.value.toUpperCase())} />
        </label>
      </fieldset>
      {missing.length > 0 && <p class={styles.remark} role="status">{say.missingColumns(missing)}</p>}
      {missing.length === 0 && (
        <>
          <h3>{say.understood}</h3>
          <ul class={styles.understood}>
            {items.slice(0, samples).map(({ row, number, checked: found }) => <li key={number}>{inWords(row, found.density)}</li>)}
          </ul>
          {bad.length === 0 ? <p role="status">{say.previewGood(items.length)}</p> : (
            <section class="stack" aria-label={say.previewBad(bad.length, items.length)}>
              <h3>{say.previewBad(bad.length, items.length)}</h3>
              <Named items={bad} />
              <p>{say.previewNext}</p>
            </section>
          )}
        </>
      )}
      <div class="row">
        <button type="button" class="button button-main" disabled={missing.length > 0} onClick={() => props.onRows(staged)}>{say.intoGrid(items.length)}</button>
        <button type="button" class="button" onClick={() => props.onStage(null)}>{say.putAway}</button>
      </div>
    </section>
  );
}

/** One row read back, as a stone's page would have it. */
function inWords({ values }: IntakeRow, density: number | null): string {
  const size = [values.length_mm, values.width_mm, values.thickness_mm].join(" × ");
  return [
    values.code,
    (kinds as Readonly<Record<string, string>>)[values.kind] ?? values.kind,
    (forms as Readonly<Record<string, string>>)[values.form] ?? values.form,
    `${size} mm`,
    values.mass_g === "" ? "" : `${values.mass_g} g`,
    density === null ? "" : say.densityIs(density),
    values.price === "" ? "" : `${values.price} ${values.currency}`,
  ].filter((part) => part !== "").join(", ");
}
