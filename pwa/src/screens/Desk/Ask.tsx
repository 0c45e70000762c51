import { useId, useState } from "preact/hooks";
import { askForTrials } from "../../domain/board_acts";
import { SelectField } from "../../parts/Fields";
import { readOpenAssignments } from "../../store/assignments";
import { useLive } from "../../store/live";
import { newId } from "../../sync/commands";
import { deskActs as say } from "../../words/desk";
import { day, purposes } from "../../words/trade";
import { calendarDay } from "../calendarDay";
import type { ActProps } from "./Acts";
import { Settle } from "./Settle";

/** Asking one tester for a trial of each stone, with a steel and a day if the dealer cares. */
export function Ask({ rows, base, purpose, onDone, onClose }: ActProps) {
  const id = useId();
  const [tester, setTester] = useState("");
  const [steel, setSteel] = useState("");
  const [due, setDue] = useState("");
  // What is asked of this tester already; kept out while it is not known, so that nothing is asked twice.
  const open = useLive(async () => (tester === "" ? null : readOpenAssignments({ tester_id: tester })), [tester]);
  const testers = base.active.filter((member) => member.roles.includes("tester"));
  const name = base.members.get(tester)?.display_name ?? "";
  const steelName = base.steels.find((one) => one.steel === steel)?.name ?? say.ofChoice;
  const wish = { tester_id: tester, purpose, steel: steel === "" ? null : steel, due_on: due === "" ? null : due };
  const act = tester === "" || open == null ? null : askForTrials(rows, wish, open);
  const what = [purposes[purpose].toLowerCase(), steelName, ...(due === "" ? [] : [day(due)])].join(", ");
  return (
    <>
      <SelectField
        name={say.tester} value={tester} empty={say.chooseTester}
        options={testers.map((member) => ({ value: member.id, words: member.display_name }))} onSet={setTester}
      />
      <SelectField
        name={say.steel} value={steel} empty={say.anySteel}
        options={base.steels.map((one) => ({ value: one.steel, words: one.name }))} onSet={setSteel}
      />
      <div class="field">
        <label for={id}>{say.due}</label>
        <input
          id={id} type="date" min={calendarDay(new Date())} value={due} aria-describedby={`${id}-help`}
          onInput={(event) => setDue(event.currentTarget.value)}
        />
        <p class="note" id={`${id}-help`}>{say.dueHelp}</p>
      </div>
      <Settle
        act={act}
        will={(n) => say.will.ask(n, name, what)} go={say.go.ask} did={say.did.ask} lacks={say.chooseTester}
        record={(body) => ({ thing: "assignment", id: newId(), body, base: null })}
        onDone={onDone} onClose={onClose}
      />
    </>
  );
}
