import { useState } from "preact/hooks";
import { readOne } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { saveRecord } from "../../sync/commands";
import { me as words } from "../../words/me";
import styles from "./style.module.css";

/** Whether slips may name this member. Nobody else can say so, and it can be taken back. */
export function Naming({ memberId, name }: { readonly memberId: string; readonly name: string }) {
  const consent = useLive(() => readOne("consent", memberId), [memberId]);
  const [wrong, setWrong] = useState<string | null>(null);
  if (consent === undefined) return null;
  const agreed = consent?.record.names_on_slips ?? false;
  const set = async (yes: boolean): Promise<void> => {
    try {
      setWrong(null);
      await saveRecord("consent", memberId, { names_on_slips: yes }, consent?.record.version ?? null);
    } catch (error) {
      setWrong(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <section class="sheet">
      <h2>{words.naming}</h2>
      <p>{words.namingLead}</p>
      <label class={styles.look}>
        <input type="checkbox" checked={agreed} aria-describedby="naming-means" onChange={(event) => void set(event.currentTarget.checked)} />
        {words.namingYes(name)}
      </label>
      <p class="note" id="naming-means">{words.namingMeans}</p>
      {consent?.state === "waiting" && <p class="note" role="status">{agreed ? words.namingWaits : words.unnamingWaits}</p>}
      {consent?.state === "needs_you" && <p role="alert">{words.namingRefused} {consent.problem?.detail}</p>}
      {wrong !== null && <p role="alert">{wrong}</p>}
    </section>
  );
}
