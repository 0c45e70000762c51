import { useId } from "preact/hooks";
import { readOne } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { changeStone as say } from "../../words/change-stone";
import type { IntakeClub } from "../Intake/read";

/** The lot of a stone; a lot that was withdrawn stays on the list as long as the stone is in it. */
export function LotField(props: { club: IntakeClub; value: string; wrong: string | null; onLot: (id: string) => void }) {
  const id = useId();
  const { club, value, wrong } = props;
  const own = useLive(() => readOne("lot", value), [value])?.record ?? null;
  const lots = own === null || club.lots.some((lot) => lot.id === value) ? club.lots : [own, ...club.lots];
  return (
    <div class="field">
      <label for={id}>{say.lot}</label>
      <select id={id} value={value} aria-invalid={wrong !== null} aria-describedby={wrong === null ? undefined : `${id}-wrong`} onChange={(event) => props.onLot(event.currentTarget.value)}>
        {lots.map((lot) => <option key={lot.id} value={lot.id}>{lot.code} {lot.name}</option>)}
      </select>
      {wrong !== null && <p class="wrong" id={`${id}-wrong`}>{wrong}</p>}
    </div>
  );
}
