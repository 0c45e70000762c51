import type { Inspection, Stone } from "../../domain/records";
import { GRIT_SYSTEMS } from "../../domain/soundness";
import type { LappingRate } from "../../domain/soundness";
import { gritText } from "../../domain/grit";
import { heightsOver, leastSquaresPlane } from "../../domain/soundness/flatness";
import { Fact, Facts, NumberField, SelectField } from "../../parts/Fields";
import { HeightMap } from "../../parts/HeightMap";
import { lap as say } from "../../words/lap";
import type { DraftForm } from "../useDraftForm";
import { mannerOf } from "./Log";
import { finishes, planFor, roughly, type Planned, type Step } from "./plan";
import styles from "./style.module.css";

type Ready = Extract<Planned, { readonly kind: "planned" }>;

/** The face's heights, how flat it is, and what lapping it flat would take. */
export function Plan(props: { stone: Stone; inspection: Inspection; rate: LappingRate; form: DraftForm }) {
  const { stone, inspection, form } = props;
  const finish = finishes.find((number) => number === form.values["finish"]) ?? 1000;
  const planned = planFor(stone, inspection, finish, mannerOf(form.values), props.rate);
  if (planned.kind === "refused") return <p class="sheet needs-you">{say.refused(planned.why)}</p>;
  return (
    <div class={styles.columns}>
      <div class={styles.column}>
        <Picture stone={stone} inspection={inspection} planned={planned} />
        <Figures planned={planned} />
      </div>
      <div class={styles.column}>
        <ToDo planned={planned} hasMass={stone.mass_g !== null} />
        <Grits planned={planned} rate={props.rate} finish={finish} form={form} />
      </div>
    </div>
  );
}

function Picture({ stone, inspection, planned }: { stone: Stone; inspection: Inspection; planned: Ready }) {
  const readings = inspection.flatness?.readings ?? [];
  const onGrid = planned.flatness.method === "grid";
  const over = onGrid ? heightsOver(readings, leastSquaresPlane(readings)) : [];
  return (
    <section class="stack">
      <h2>{say.picture}</h2>
      {onGrid ? <HeightMap face={stone} readings={readings} /> : <p>{say.straightedge}</p>}
      <details open={!onGrid}>
        <summary class={styles.more}>{say.readings}</summary>
        <div class="sideways" role="group" aria-label={say.readings} tabIndex={0}>
          <table class={styles.table}>
            <thead>
              <tr>
                <th scope="col">{say.along}</th><th scope="col">{say.across}</th>
                <th scope="col">{onGrid ? say.read : say.gap}</th>{onGrid && <th scope="col">{say.overPlane}</th>}
              </tr>
            </thead>
            <tbody>
              {readings.map((reading, i) => (
                <tr key={`${reading.x_mm} ${reading.y_mm}`}>
                  <td>{reading.x_mm} mm</td><td>{reading.y_mm} mm</td>
                  <td>{say.um(reading.height_um)}</td>{onGrid && <td>{say.um(over[i] ?? 0)}</td>}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  );
}

function Figures({ planned: { flatness } }: { planned: Ready }) {
  const { form } = flatness;
  return (
    <section class="stack">
      <h2>{say.figures}</h2>
      <Facts>
        <Fact name={flatness.method === "grid" ? say.minimumZone : say.largestGap}>{say.um(flatness.flatness_um)}</Fact>
        {flatness.least_squares_um !== null && <Fact name={say.leastSquares}>{say.um(flatness.least_squares_um)}</Fact>}
        {form?.dish_length_um != null && <Fact name={say.dishLength}>{say.dish(form.dish_length_um)}</Fact>}
        {form?.dish_width_um != null && <Fact name={say.dishWidth}>{say.dish(form.dish_width_um)}</Fact>}
        {form?.twist_um != null && <Fact name={say.twist}>{say.um(Math.abs(form.twist_um))}</Fact>}
        <Fact name={say.shape}>{say.shapes[flatness.shape]}</Fact>
      </Facts>
      {flatness.method === "grid" && <p class="note">{say.signs}</p>}
    </section>
  );
}

function ToDo({ planned: { plan, thickness_left_mm: left }, hasMass }: { planned: Ready; hasMass: boolean }) {
  return (
    <section class="stack">
      <h2>{say.plan}</h2>
      {plan.stock_um <= 0 ? <p>{say.already}</p> : (
        <Facts>
          <Fact name={say.stock}>{(plan.stock_um / 1000).toFixed(2)} mm</Fact>
          {plan.stock_g !== null && <Fact name={say.mass}>{plan.stock_g.toFixed(1)} g</Fact>}
          {left !== null && <Fact name={say.left}>{left.toFixed(2)} mm</Fact>}
        </Facts>
      )}
      <p class="note">{plan.basis === "surface" ? say.basisSurface : say.basisStraight} {hasMass ? "" : say.noMass}</p>
    </section>
  );
}

function Grits(props: { planned: Ready; rate: LappingRate; finish: number; form: DraftForm }) {
  const { planned, rate, form } = props;
  const manner = mannerOf(form.values);
  return (
    <section class="stack">
      <h2>{say.steps}</h2>
      <div class={styles.pairs}>
        <SelectField
          name={say.finish}
          value={String(props.finish)}
          options={finishes.map((number) => ({ value: String(number), words: gritText(number, "fepa_p") }))}
          onSet={(number) => form.set({ finish: Number(number) })}
        />
        <NumberField name={say.force} unit="N" help={say.forceHelp} low={0.1} high={2000} value={manner.force_n} onSet={(n) => form.set({ force_n: n })} />
        <NumberField name={say.stroke} unit="mm" low={1} high={2000} value={manner.stroke_mm} onSet={(n) => form.set({ stroke_mm: n })} />
      </div>
      <div class="sideways" role="group" aria-label={say.grit} tabIndex={0}>
        <table class={styles.table}>
          <thead>
            <tr><th scope="col">{say.grit}</th><th scope="col">{say.grain}</th><th scope="col">{say.takes}</th><th scope="col">{say.strokes}</th></tr>
          </thead>
          <tbody>{planned.steps.map((step) => <GritRow key={step.grain.number} step={step} />)}</tbody>
        </table>
      </div>
      <p class="note">{rate.n_lappings === 0 ? say.rateGuess : say.rate(rate.n_lappings)} {say.interval} {say.system(GRIT_SYSTEMS.fepa_p.standard)}</p>
    </section>
  );
}

function GritRow({ step }: { step: Step }) {
  const { strokes } = step;
  return (
    <tr>
      <th scope="row">{gritText(step.grain.number, step.grain.system)}</th>
      <td>{step.grain.um} µm</td>
      <td>{say.um(step.remove_um)}</td>
      <td>
        {strokes !== null && (
          <>
            <strong>{roughly(strokes.strokes)}</strong>
            <span class={styles.range}>{say.strokesRange(roughly(strokes.low90), roughly(strokes.high90))}</span>
          </>
        )}
      </td>
    </tr>
  );
}
