import { weakestBlade, type FoundGrade, type FoundStone } from "../../domain/match";
import { bandText } from "../../domain/grit";
import { GradeRuler } from "../../parts/GradeRuler";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { match as say } from "../../words/match";
import { forms, kinds, mm } from "../../words/trade";
import styles from "./style.module.css";

const money = (price: number, currency: string): string => `${price.toFixed(2)} ${currency}`;

/** One stone found: how likely it serves, its rulers with what is wanted on them, and why. */
export function FoundCard(props: { readonly stone: FoundStone; readonly chosen: boolean; readonly onChoose: (on: boolean) => void }) {
  const { stone } = props;
  const several = stone.by_blade.length > 1;
  const first = weakestBlade(stone);
  const shown = stone.grades.filter((grade) => grade.blade === first);
  const facts = [
    (kinds as Readonly<Record<string, string>>)[stone.kind] ?? stone.kind,
    (forms as Readonly<Record<string, string>>)[stone.form] ?? stone.form,
    `${[stone.length_mm, stone.width_mm].join(" × ")} × ${mm(stone.thickness_mm)}`,
    ...(stone.mass_g === null ? [] : [`${Math.round(stone.mass_g)} g`]),
  ];
  const selling = [
    stone.price === null || stone.currency === null ? say.noPrice : money(stone.price, stone.currency),
    ...(stone.offer_state === "reserved" ? [say.reserved] : []),
  ];
  return (
    <li class={`sheet ${props.chosen ? styles.chosen : ""}`}>
      <div class="spread">
        <h3 class={styles.code}><a href={`/stones/${stone.stone_id}`} aria-label={say.stone(stone.code)}>{stone.code}</a></h3>
        <p class={styles.odds}><strong>{say.serves(stone.odds)}</strong> <span class="soft figures">{say.percent(stone.probability)}</span></p>
      </div>
      {several && (
        <ul class={styles.lines}>
          {stone.by_blade.map((blade, j) => <li key={j} class="figures">{say.alone(blade.blade, blade.odds)}</li>)}
        </ul>
      )}
      {stone.against.length > 0 && <Told name={say.against} lines={stone.against} hand />}
      {several && <h4>{say.weakest(stone.by_blade[first]?.blade ?? "")}</h4>}
      <Rulers grades={shown} blade={null} />
      <details>
        <summary>{say.reasons}</summary>
        <div class="stack">
          {stone.speaks_for.length > 0 && <Told name={say.speaksFor} lines={stone.speaks_for} />}
          {stone.uncertain.length > 0 && <Told name={say.uncertain} lines={stone.uncertain} />}
          {several && stone.by_blade.map((blade, j) => j !== first && (
            <div key={j} class="stack">
              <h4>{say.with(blade.blade)}</h4>
              <Rulers grades={stone.grades.filter((grade) => grade.blade === j)} blade={blade.blade} />
            </div>
          ))}
          {stone.finish_bands.map((band) => <p key={band.system} class="note figures">{bandText(band)}: {say.rests(band.n, stone.evidence.n_testers)}</p>)}
        </div>
      </details>
      <p class="note figures">
        {stone.evidence.thin && <strong>{say.thin}: </strong>}
        {say.rests(stone.evidence.n_trials, stone.evidence.n_testers)}, {stone.slip_code === null ? say.unpublished : say.published(stone.slip_code)}.
      </p>
      <p class="figures">{[...facts, ...selling].join(", ")}</p>
      <label class={styles.choose}>
        <input type="checkbox" checked={props.chosen} onChange={(event) => props.onChoose(event.currentTarget.checked)} />
        {say.choose(stone.code)}
      </label>
    </li>
  );
}

function Told(props: { readonly name: string; readonly lines: readonly string[]; readonly hand?: boolean }) {
  return (
    <div class={props.hand === true ? styles.against : undefined}>
      <h4>{props.name}</h4>
      <ul class={styles.lines}>{props.lines.map((line) => <li key={line}>{line}</li>)}</ul>
    </div>
  );
}

function Rulers({ grades, blade }: { readonly grades: readonly FoundGrade[]; readonly blade: string | null }) {
  return (
    <div class={styles.rulers}>
      {grades.map((grade) => {
        const { want_low: low, want_high: high } = grade;
        const wanted = low === null || high === null ? null : say.wanted(low, high, grade);
        const figure = gradeText(grade.grade, 0.1);
        return (
          <div key={`${grade.blade} ${grade.scale}`} class={styles.ruled}>
            <p class="spread"><span>{grade.name}</span> <strong class="figures">{figure}</strong></p>
            <GradeRuler
              scale={grade}
              size="page"
              grade={grade.grade}
              low90={grade.low90}
              high90={grade.high90}
              atEnd={grade.high90 >= grade.high ? "high" : grade.low90 <= grade.low ? "low" : null}
              want={low === null || high === null ? null : { low, high }}
              label={say.ruler(blade === null ? grade.name : `${grade.name} ${say.withBlade(blade)}`, figure, gradeText(grade.low90, 0.1), gradeText(grade.high90, 0.1), wanted)}
            />
          </div>
        );
      })}
    </div>
  );
}
