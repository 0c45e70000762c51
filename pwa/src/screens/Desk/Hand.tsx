import { useState } from "preact/hooks";
import { withDealer } from "../../domain/board";
import { handOver } from "../../domain/board_acts";
import { SelectField } from "../../parts/Fields";
import { newId } from "../../sync/commands";
import { deskActs as say } from "../../words/desk";
import type { ActProps } from "./Acts";
import { Settle } from "./Settle";

/** Handing all of them to one member, or taking them back. */
export function Hand({ rows, base, onDone, onClose }: ActProps) {
  const [to, setTo] = useState("");
  const [at] = useState(() => new Date().toISOString());
  const holder = to === withDealer ? null : to;
  const name = holder === null ? "" : base.members.get(holder)?.display_name ?? "";
  return (
    <>
      <SelectField
        name={say.to} value={to} empty={say.chooseTo}
        options={[{ value: withDealer, words: say.backWithDealer }, ...base.active.map((one) => ({ value: one.id, words: one.display_name }))]}
        onSet={setTo}
      />
      <Settle
        act={to === "" ? null : handOver(rows, holder, at)}
        will={(n) => (holder === null ? say.will.handBack(n) : say.will.hand(n, name))}
        go={say.go.hand} did={say.did.hand} lacks={say.chooseTo}
        record={(body) => ({ thing: "hand_over", id: newId(), body, base: null })}
        onDone={onDone} onClose={onClose}
      />
    </>
  );
}
