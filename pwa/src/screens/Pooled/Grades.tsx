import { useMemo, useState } from "preact/hooks";
import type { Pooled as Answer, PooledScale } from "../../domain/pooled";
import { GradeField } from "../../parts/Chart";
import { SelectField } from "../../parts/Fields";
import { pooled as say } from "../../words/pooled";
import { Chosen, Readiness } from "./Chosen";
import { byStone, isIn, ordered, standings, type Order, type Standing } from "./flags";
import { fieldPoints, intervalsShown } from "./points";
import type { Base } from "./read";
import { inProtocolOrder } from "./scaleOrder";
import styles from "./style.module.css";
import { Table } from "./Table";

/** Which stones are looked at: of one lot, in one standing; empty: all. */
export interface Filter {
  readonly lot: string;
  readonly standing: Standing | "";
}

/** The map of the stock, what is still lacking, and the table beside them. */
export function Grades(props: { readonly answer: Answer; readonly base: Base; readonly filter: Filter; readonly onFilter: (to: Partial<Filter>) => void }) {
  const { answer, base, filter } = props;
  const scales = useMemo(
    () => inProtocolOrder(answer.scales, base.protocols.filter((p) => p.purpose === answer.purpose)),
    [answer, base.protocols],
  );
  const [chosen, setChosen] = useState<string | null>(null);
  const [order, setOrder] = useState<Order>("code");
  const codeOf = (id: string): string => base.stones.get(id)?.code ?? say.flags.unknown;
  const every = useMemo(() => byStone(scales, base.rules), [scales, base.rules]);
  const stones = useMemo(
    () => every.filter((stone) =>
      (filter.lot === "" || base.stones.get(stone.stone_id)?.lot_id === filter.lot) && (filter.standing === "" || isIn(stone, filter.standing))),
    [every, filter.lot, filter.standing, base.stones],
  );
  const rows = useMemo(() => ordered(stones, order, (id) => base.stones.get(id)?.code ?? ""), [stones, order, base.stones]);
  const across = scales.find((s) => s.scale === "hardness") ?? scales[0];
  const up = scales.find((s) => s.scale === "fineness") ?? scales[1];
  const points = useMemo(
    () => (across && up ? fieldPoints(stones, across.scale, up.scale, (id) => base.stones.get(id)?.code ?? say.flags.unknown, chosen) : []),
    [stones, across, up, base.stones, chosen],
  );
  const picked = stones.find((stone) => stone.stone_id === chosen);

  return (
    <>
      {scales.filter((s) => !s.converged).map((s) => <p key={s.scale} class="sheet needs-you">{s.name}: {say.unsettled}</p>)}
      <div class={styles.filters}>
        <SelectField
          name={say.lot} value={filter.lot} empty={say.everyLot}
          options={base.lots.map((lot) => ({ value: lot.id, words: `${lot.code} ${lot.name}` }))}
          onSet={(lot) => props.onFilter({ lot })}
        />
        <SelectField
          name={say.standing} value={filter.standing} empty={say.everyStanding}
          options={standings.map((value) => ({ value, words: say.standings[value] }))}
          onSet={(standing) => props.onFilter({ standing })}
        />
        <p class={styles.count} role="status">{say.count(stones.length, every.length)}</p>
      </div>
      {stones.length === 0 && every.length > 0 && (
        <div class="stack">
          <p>{say.noneFits}</p>
          <button type="button" class="button" onClick={() => props.onFilter({ lot: "", standing: "" })}>{say.showAll}</button>
        </div>
      )}
      {across && up && points.length > 0 && (
        <div class={styles.fieldAndChosen}>
          <div class={points.length > intervalsShown ? styles.crowded : ""}>
            <GradeField
              across={across}
              up={up}
              points={points}
              chosen={chosen}
              label={say.chart(points.length, across.name, up.name)}
              onChoose={setChosen}
            />
            <p class="note">{points.length > intervalsShown ? say.chartHintMany(intervalsShown) : say.chartHint}</p>
          </div>
          {picked === undefined && <Readiness stones={stones} codeOf={codeOf} onChoose={setChosen} />}
          {picked && <Chosen stone={picked} record={base.stones.get(picked.stone_id)} scales={scales} code={codeOf(picked.stone_id)} purpose={answer.purpose} />}
        </div>
      )}

      <Links scales={scales} base={base} codeOf={codeOf} />

      {rows.length > 0 && (
        <>
          <div class={styles.order}>
            <SelectField
              name={say.order}
              value={order}
              options={(Object.keys(say.orders) as Order[]).map((value) => ({ value, words: say.orders[value] }))}
              onSet={(value) => { if (value !== "") setOrder(value); }}
            />
          </div>
          <Table key={`${filter.lot} ${filter.standing}`} rows={rows} scales={scales} stoneOf={(id) => base.stones.get(id)} />
        </>
      )}
    </>
  );
}

/** Which trials would join groups of stones that cannot be compared yet. */
function Links({ scales, base, codeOf }: { scales: readonly PooledScale[]; base: Base; codeOf: (id: string) => string }) {
  const links = scales.flatMap((scale) => scale.proposed_links ?? []);
  const once = links.filter((link, i) => links.findIndex((l) => l.stone_id === link.stone_id && l.tester_id === link.tester_id) === i);
  if (once.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.links}</h2>
      <p class="soft">{say.linksLead}</p>
      <ul>
        {once.map((link) => (
          <li key={`${link.stone_id} ${link.tester_id}`}>
            {say.link(codeOf(link.stone_id), base.members.get(link.tester_id) ?? say.someTester, base.steels.get(link.steel) ?? link.steel.replace(/_/g, " "))}
          </li>
        ))}
      </ul>
    </section>
  );
}
