import type { Rule } from "../../domain/records";
import { NumberField } from "../../parts/Fields";
import { Caution, UrgencySign } from "../../parts/VerdictCard";
import { verdict as sayVerdict } from "../../words/parts";
import { rules as say } from "../../words/rules";
import type { DraftForm } from "../useDraftForm";
import { clauses, sentence } from "./say";
import { thresholdKey, valueOf } from "./thresholds";
import styles from "./style.module.css";

/** One rule: when it speaks, what it says, how urgent, and the numbers it stands on. */
export function OneRule({ rule, form, mayChange }: { rule: Rule; form: DraftForm; mayChange: boolean }) {
  return (
    <article class={styles.rule}>
      <UrgencySign urgency={rule.urgency} />
      <div class={styles.body}>
        <h3 class={styles.title}>{sayVerdict.named(rule.verdict)}</h3>
        <p class="note">{sayVerdict.urgency[rule.urgency]}</p>
        <dl class={styles.lines}>
          <dt>{say.when}</dt>
          <dd>{clauses(rule).join("; ")}{rule.parameters.length > 0 && !mayChange ? "; " : ""}
            {!mayChange && rule.parameters.map((p) => `${p.label.toLowerCase()} ${p.value} ${p.unit}`.trim()).join("; ")}
          </dd>
          <dt>{say.says}</dt>
          <dd>{sentence(rule)}</dd>
        </dl>
        {mayChange && rule.parameters.length > 0 && (
          <div class={styles.numbers}>
            {rule.parameters.map((parameter) => {
              const value = valueOf(form.values, rule, parameter);
              const range = say.range(parameter.low, parameter.high, parameter.unit);
              return (
                <NumberField
                  key={parameter.name}
                  name={parameter.label}
                  help={value === parameter.value ? range : `${range}, ${say.was(parameter.value, parameter.unit)}`}
                  unit={parameter.unit}
                  low={parameter.low}
                  high={parameter.high}
                  value={value}
                  onSet={(next) => form.set({ [thresholdKey(rule, parameter)]: next === parameter.value ? undefined : next })}
                />
              );
            })}
          </div>
        )}
        {rule.caution !== null && <Caution text={rule.caution} />}
      </div>
    </article>
  );
}
