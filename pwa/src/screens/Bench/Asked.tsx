import { useState } from "preact/hooks";
import { asked as say } from "../../words/asked";
import { kinds, mm, purposes } from "../../words/trade";
import { calendarDay } from "../calendarDay";
import { HandOver } from "../HandOver";
import { StandingSign } from "../Stones/StandingSign";
import { sinceWords, type AskedTrial, type AskedView, type HeldStone } from "./readAsked";
import styles from "./style.module.css";

/** A dealer may ask for a whole plan at once; the rest is a tap away. */
const shownAsked = 5;

/** What somebody asked this member for, and what lies in the member's hands. */
export function Asked({ view, now }: { readonly view: AskedView; readonly now: number }) {
  return (
    <>
      {view.asked.length > 0 && (
        <section class={`stack ${styles.asked}`}>
          <h2>{say.ofYou}</h2>
          <div class="sheet">
            <ul class={styles.list}>{view.asked.slice(0, shownAsked).map((one) => <One key={one.id} one={one} now={now} />)}</ul>
            {view.asked.length > shownAsked && (
              <details>
                <summary class={styles.moreAsked}>{say.more(view.asked.length - shownAsked)}</summary>
                <ul class={styles.list}>{view.asked.slice(shownAsked).map((one) => <One key={one.id} one={one} now={now} />)}</ul>
              </details>
            )}
          </div>
        </section>
      )}
      {view.held.length > 0 && (
        <section class={`stack ${styles.held}`}>
          <h2>{say.inHands}</h2>
          <ul class={`sheet ${styles.list}`}>
            {view.held.map((one) => <Held key={one.stone.id} one={one} asked={view.asked.find(({ stone }) => stone.id === one.stone.id)} />)}
          </ul>
        </section>
      )}
    </>
  );
}

const NeedsHand = () => <span class={styles.overdue}><StandingSign state="needs_hand" /> {say.needsHand}</span>;

function One({ one, now }: { readonly one: AskedTrial; readonly now: number }) {
  const { stone, assignment, blades, steelName } = one;
  const today = calendarDay(new Date(now));
  const { due_on, notes } = assignment;
  return (
    <li class={styles.item}>
      <a class={styles.itemMain} href={`/stones/${stone.id}`}>
        <strong class={styles.code}>{stone.code}</strong>
        {one.needsHand && <NeedsHand />}
        <span class={styles.about}>{say.forWhat(purposes[assignment.purpose], steelName)}</span>
        {steelName !== null && <span class="note">{blades.length === 0 ? say.noBlade : say.blades(blades.map(({ name }) => name))}</span>}
        {(due_on !== null || one.whereabouts !== null) && (
          <span class="note">
            {due_on !== null && <span class={due_on < today ? styles.overdue : styles.due}>{say.due(due_on, today)}</span>}
            {due_on !== null && one.whereabouts !== null && " · "}
            {one.whereabouts}
          </span>
        )}
        {notes !== "" && <span class="note">{notes}</span>}
      </a>
      <a class="button" href={one.href}>{say.try}<span class="visually-hidden"> {stone.code}</span></a>
    </li>
  );
}

function Held({ one, asked }: { readonly one: HeldStone; readonly asked: AskedTrial | undefined }) {
  const { stone, handOver } = one;
  const [passing, setPassing] = useState(false);
  return (
    <li class={styles.heldItem}>
      <div class={styles.heldHead}>
        <a class={styles.itemMain} href={`/stones/${stone.id}`}>
          <strong class={styles.code}>{stone.code}</strong>
          {one.needsHand && <NeedsHand />}
          <span class={styles.about}>{kinds[stone.kind]}, {mm(stone.length_mm)} long</span>
          <span class="note">{sinceWords(handOver)}</span>
        </a>
        {!passing && (
          <div class={styles.heldWays}>
            <a class="button" href={asked?.href ?? `/stones/${stone.id}/trial`}>{say.try}<span class="visually-hidden"> {stone.code}</span></a>
            <button type="button" class="button" onClick={() => setPassing(true)}>{say.passOn}<span class="visually-hidden"> {stone.code}</span></button>
          </div>
        )}
      </div>
      {passing && <HandOver stoneId={stone.id} code={stone.code} holderId={handOver.holder_id} onDone={() => setPassing(false)} />}
    </li>
  );
}
