import { useState } from "preact/hooks";
import type { Assignment, HandOver as HandOverRecord } from "../../domain/records";
import { asked as say } from "../../words/asked";
import { day, purposes } from "../../words/trade";
import { HandOver } from "../HandOver";
import { AskWithdraw } from "./AskWithdraw";
import type { StonePage } from "./readStone";
import rows from "./own.module.css";

const whoHas = (last: HandOverRecord | null, me: string, names: ReadonlyMap<string, string>): string => {
  if (last === null) return say.withDealer;
  const when = day(last.handed_at);
  if (last.holder_id === null) return say.dealerSince(when);
  return last.holder_id === me ? say.youSince(when) : say.withSince(names.get(last.holder_id) ?? say.somebody, when);
};

/** Who has the stone, and a way to say that somebody else does. */
export function Whereabouts({ page, stoneId, code }: { readonly page: StonePage; readonly stoneId: string; readonly code: string }) {
  const [handing, setHanding] = useState(false);
  return (
    <section class="stack">
      <div class={rows.whereabouts}>
        <p>{whoHas(page.handOver, page.member, page.everyName)}</p>
        {!handing && <button type="button" class="button" onClick={() => setHanding(true)}>{say.handOver}</button>}
      </div>
      {handing && <HandOver stoneId={stoneId} code={code} holderId={page.handOver?.holder_id ?? null} onDone={() => setHanding(false)} />}
    </section>
  );
}

/** What is asked of testers and not done yet (dealer, steward). */
export function OpenAsked({ page, now }: { readonly page: StonePage; readonly now: string }) {
  if (page.asked.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.open}</h2>
      <ul class={rows.looks}>{page.asked.map((one) => <One key={one.id} one={one} page={page} now={now} />)}</ul>
    </section>
  );
}

function One({ one, page, now }: { readonly one: Assignment; readonly page: StonePage; readonly now: string }) {
  const [withdrawing, setWithdrawing] = useState(false);
  const steel = one.steel === null ? null : page.steelNames.get(one.steel) ?? one.steel.replaceAll("_", " ");
  return (
    <li class={rows.look}>
      <div class={rows.whereabouts}>
        <div>
          <p><strong>{page.everyName.get(one.tester_id) ?? say.somebody}</strong></p>
          <p>{say.forWhat(purposes[one.purpose], steel)}</p>
          {one.due_on !== null && <p class="note">{say.due(one.due_on, now)}</p>}
        </div>
        {!withdrawing && <button type="button" class="button" onClick={() => setWithdrawing(true)}>{say.withdraw}</button>}
      </div>
      {withdrawing && <AskWithdraw thing="assignment" id={one.id} help={say.withdrawHelp} onDone={() => setWithdrawing(false)} />}
    </li>
  );
}
