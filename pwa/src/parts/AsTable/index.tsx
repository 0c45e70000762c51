import { asTable as say } from "../../words/parts";
import styles from "./style.module.css";

/**
 * What a chart shows, as a table for whoever reads, listens or copies. The first cell of a row names it. Wide tables
 * scroll within themselves.
 */
export function AsTable(props: { caption: string; head: readonly string[]; rows: readonly { readonly key: string; readonly cells: readonly string[] }[] }) {
  return (
    <details>
      <summary class={styles.more}>{say.open}</summary>
      <div class={styles.scroll} role="region" aria-label={props.caption} tabIndex={0}>
        <table class={styles.table}>
          <caption class="visually-hidden">{props.caption}</caption>
          <thead><tr>{props.head.map((name) => <th key={name} scope="col">{name}</th>)}</tr></thead>
          <tbody>
            {props.rows.map(({ key, cells: [name, ...rest] }) => (
              <tr key={key}>
                <th scope="row">{name}</th>
                {rest.map((cell, i) => <td key={i}>{cell}</td>)}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
