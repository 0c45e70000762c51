import { useLocation } from "preact-iso";
import type { Pooled as Answer } from "../../domain/pooled";
import type { Purpose } from "../../domain/records";
import { Choice } from "../../parts/Choice";
import { useLive } from "../../store/live";
import { agreementLink } from "../../words/agreement";
import { planLink } from "../../words/plan";
import { pooled as say } from "../../words/pooled";
import { testersLink } from "../../words/testers";
import { purposes } from "../../words/trade";
import { ToReissue } from "../Publish/ToReissue";
import { isStanding } from "./flags";
import { Freshness } from "./Freshness";
import { Grades, type Filter } from "./Grades";
import { readBase } from "./read";
import styles from "./style.module.css";
import { usePooled } from "./usePooled";

/** What the panel makes of every stone, for those who answer for the grades. */
export function Pooled() {
  const { query, route } = useLocation();
  const base = useLive(readBase, []);
  const wanted = query["purpose"] as Purpose | undefined;
  const purpose = wanted !== undefined && wanted in purposes ? wanted : base?.purposes[0] ?? null;
  const view = usePooled(base?.mayDeal === true ? purpose : null);
  if (base === undefined) return <div class="page"><p class="soft">{say.asking}</p></div>;
  if (!base.mayDeal) return <div class="page"><h1>{say.title}</h1><p>{say.notForYou}</p></div>;
  const suffix = purpose === null ? "" : `?purpose=${purpose}`;
  const standing = query["standing"] ?? "";
  const filter: Filter = { lot: query["lot"] ?? "", standing: isStanding(standing) ? standing : "" };
  const narrow = (to: Partial<Filter>): void => {
    const all = Object.entries({ purpose: purpose ?? "", ...filter, ...to }).filter(([, value]) => value !== "");
    route(`/pooled?${new URLSearchParams(all).toString()}`, true);
  };
  return (
    <div class="page page-wide">
      <h1>{say.title}</h1>
      {base.purposes.length === 0 && <p>{say.noPurpose}</p>}
      {base.purposes.length > 1 && (
        <Choice
          name={say.purpose}
          hideName
          lay="strip"
          options={base.purposes.map((value) => ({ value, words: purposes[value] }))}
          value={purpose}
          onChoose={(value) => route(`/pooled?purpose=${value}`, true)}
        />
      )}
      <Freshness view={view} />
      <p class="row">
        <a class="button" href={`/plan${suffix}`}>{planLink}</a>
        <a class="button" href={`/testers${suffix}`}>{testersLink}</a>
        <a class="button" href={`/agreement${suffix}`}>{agreementLink}</a>
      </p>
      <ToReissue codeOf={(id) => base.stones.get(id)?.code ?? say.flags.unknown} />
      {view?.answer && <Grades key={purpose} answer={view.answer} base={base} filter={filter} onFilter={narrow} />}
      {view?.answer && <Reached answer={view.answer} />}
    </div>
  );
}

/** What holds the level, and what the signs are worth, for whoever wants to know. */
function Reached({ answer }: { answer: Answer }) {
  return (
    <details>
      <summary class={styles.reached}>{say.how}</summary>
      <div class="stack">
        {answer.scales.map((scale) => (
          <div key={scale.scale}>
            <h3>{scale.name}</h3>
            {scale.level_note && <p>{scale.level_note}</p>}
            {scale.signs && <p>{scale.signs.reason}</p>}
          </div>
        ))}
        <p class="note">{say.method(answer.method_version, answer.revision)}</p>
      </div>
    </details>
  );
}
