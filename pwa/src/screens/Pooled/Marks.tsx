import type { Stone } from "../../domain/records";
import { gradeText } from "../../parts/GradeRuler/geometry";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { pooled as say } from "../../words/pooled";
import { hinders, type Flag, type PooledStone } from "./flags";
import styles from "./style.module.css";

export const Face = ({ stone }: { stone: Stone | undefined }) => (stone ? <StoneFace stone={drawnOf(stone)} size="row" label="" /> : null);

export function Counts({ stone }: { stone: PooledStone }) {
  const grades = [...stone.grades.values()];
  const most = grades.reduce((a, b) => (b.n_trials > a.n_trials ? b : a), grades[0] ?? { n_trials: 0, n_testers: 0, n_steels: 0 });
  return <span class={styles.counts}>{say.counts(most.n_trials, most.n_testers, most.n_steels)}</span>;
}

export function Flags({ flags }: { flags: readonly Flag[] }) {
  const lacking = flags.filter(hinders);
  const notes = flags.filter((flag) => !hinders(flag));
  return (
    <>
      {lacking.length === 0
        ? <span class={styles.ready}>{say.ready}</span>
        : <span class={styles.flags}>{lacking.map(flagWords).join("; ")}</span>}
      {notes.length > 0 && <span class={styles.notes}>{notes.map(flagWords).join("; ")}</span>}
    </>
  );
}

function flagWords(flag: Flag): string {
  switch (flag.kind) {
    case "untried": return say.flags.untried;
    case "testers": return say.flags.testers(flag.n, flag.min);
    case "steels": return say.flags.steels(flag.n, flag.min);
    case "wide": return say.flags.wide(flag.scale);
    case "end_low": return say.flags.end_low(flag.scale);
    case "end_high": return say.flags.end_high(flag.scale);
    case "group": return say.flags.group;
    case "signs": return say.flags.signs(flag.scale, gradeText(flag.foretold, 0.1));
  }
}
