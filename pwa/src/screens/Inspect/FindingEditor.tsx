import type { Finding } from "../../domain/records";
import { YesNo } from "../../parts/Choice/YesNo";
import { NumberField, TextField } from "../../parts/Fields";
import { isSpot } from "../../parts/StoneFace/Input";
import { Caution } from "../../parts/VerdictCard";
import { inspect as say } from "../../words/inspect";
import { findingKinds } from "../../words/trade";
import styles from "./style.module.css";

type Probe = "catches_nail" | "catches_edge" | "scratches_finish" | "stays_dark_wet" | "moves_when_pressed";

/** The probes that tell most about each kind stand first; the others are one tap away (common practice). */
const first: Readonly<Record<Finding["kind"], readonly Probe[]>> = {
  fissure: ["catches_nail", "moves_when_pressed", "stays_dark_wet"],
  inclusion: ["catches_edge", "scratches_finish", "catches_nail"],
  line: ["catches_edge", "scratches_finish", "catches_nail"],
  chip: ["moves_when_pressed", "catches_edge"],
  soft_spot: ["catches_nail", "stays_dark_wet"],
  stain: ["stays_dark_wet", "catches_edge"],
};
const all: readonly Probe[] = ["catches_nail", "catches_edge", "scratches_finish", "stays_dark_wet", "moves_when_pressed"];

/** What is asked about one finding. Every probe is open until it has been tried. */
export function FindingEditor(props: {
  finding: Finding;
  number: number;
  thickness_mm: number;
  onChange: (change: Partial<Finding>) => void;
  onDone: () => void;
  onRemove: () => void;
}) {
  const { finding, onChange } = props;
  const chief = first[finding.kind];
  const probe = (name: Probe) => (
    <YesNo key={name} name={say[name]} value={finding[name]} onSet={(value) => onChange({ [name]: value })} />
  );
  return (
    <section class="sheet">
      <header class="spread">
        <h3>{say.n(props.number, findingKinds[finding.kind])}</h3>
        {finding.points.length > 0 && !isSpot(finding.kind) && (
          <button type="button" class="button" onClick={() => onChange({ points: finding.points.slice(0, -1) })}>{say.undo}</button>
        )}
      </header>
      {chief.includes("catches_edge") && <Caution text={say.edgeCaution} />}
      <div>{chief.map(probe)}</div>
      {(finding.kind === "inclusion" || finding.kind === "line") && (
        <YesNo name={say.relieved} value={finding.relieved ? true : null} onSet={(value) => onChange({ relieved: value === true })} />
      )}
      <div class={styles.pairs}>
        {finding.kind !== "fissure" && finding.kind !== "line" && (
          <NumberField name={say.size} unit="mm" low={0.1} high={500} value={finding.size_mm} onSet={(size_mm) => onChange({ size_mm })} />
        )}
        <NumberField name={say.depth} unit="mm" low={0} high={props.thickness_mm} value={finding.depth_mm} onSet={(depth_mm) => onChange({ depth_mm })} />
        {(finding.kind === "fissure" || finding.kind === "line") && (
          <NumberField name={say.dip} unit="°" low={0} high={90} help={say.dipHelp} value={finding.dip_deg} onSet={(dip_deg) => onChange({ dip_deg })} />
        )}
      </div>
      <details>
        <summary class={styles.more}>{say.more}</summary>
        <div>{all.filter((name) => !chief.includes(name)).map(probe)}</div>
        <TextField name={say.findingNotes} rows={2} value={finding.notes} onSet={(notes) => onChange({ notes })} />
      </details>
      <div class={styles.buttons}>
        <button type="button" class="button" onClick={props.onRemove}>{say.remove}</button>
        <button type="button" class="button button-main" onClick={props.onDone}>{say.done}</button>
      </div>
    </section>
  );
}
