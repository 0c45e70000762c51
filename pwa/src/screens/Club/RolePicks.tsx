import type { Role } from "../../domain/records";
import { roleHelp, roleNames } from "../../words/club";
import styles from "./style.module.css";

const all: readonly Role[] = ["tester", "dealer", "steward"];

/** Which roles somebody has; several may go together. */
export function RolePicks(props: { name: string; roles: readonly Role[]; locked?: Role | null; onSet: (roles: readonly Role[]) => void }) {
  return (
    <fieldset class={styles.roles}>
      <legend>{props.name}</legend>
      {all.map((role) => (
        <label key={role} class={styles.tick}>
          <input
            type="checkbox"
            checked={props.roles.includes(role)}
            disabled={props.locked === role}
            onChange={(event) => props.onSet(all.filter((one) => (one === role ? event.currentTarget.checked : props.roles.includes(one))))}
          />
          <span>{roleNames[role]} <span class="soft">{roleHelp[role]}</span></span>
        </label>
      ))}
    </fieldset>
  );
}
