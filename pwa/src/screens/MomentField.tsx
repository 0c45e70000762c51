import { useId } from "preact/hooks";

const two = (n: number): string => String(n).padStart(2, "0");

/** A moment as the browser's own field wants it: local time, to the minute. */
export function localMinute(at: Date): string {
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** Day and time, now unless it is set; records carry it in UTC. */
export function MomentField(props: { name: string; value: string | null; onSet: (iso: string | undefined) => void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{props.name}</label>
      <input
        id={id}
        type="datetime-local"
        max={localMinute(new Date())}
        value={localMinute(props.value === null ? new Date() : new Date(props.value))}
        onChange={(event) => {
          const typed = new Date(event.currentTarget.value);
          props.onSet(Number.isNaN(typed.getTime()) ? undefined : typed.toISOString());
        }}
      />
    </div>
  );
}
