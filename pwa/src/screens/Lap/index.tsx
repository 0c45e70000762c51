import { useState } from "preact/hooks";
import { gritText } from "../../domain/grit";
import type { Face, Stone } from "../../domain/records";
import { latestLooks } from "../../domain/soundness/work";
import { Choice } from "../../parts/Choice";
import { Head, Page } from "../../parts/Page";
import { StateBadge } from "../../parts/StateBadge";
import { Caution } from "../../parts/VerdictCard";
import { readAll, readOne } from "../../store/catalogue";
import { useLive } from "../../store/live";
import { lap as say } from "../../words/lap";
import { age, day, faces } from "../../words/trade";
import { useDraftForm } from "../useDraftForm";
import { Log } from "./Log";
import { Plan } from "./Plan";
import { clubRate } from "./plan";
import styles from "./style.module.css";

async function readLap(id: string) {
  const [stone, stones, inspections, lappings] = await Promise.all([
    readOne("stone", id), readAll("stone", { withdrawn: true }), readAll("inspection", { where: { stone_id: id } }), readAll("lapping"),
  ]);
  // A look without readings says nothing of the shape, so the last one that read it counts.
  const looks = latestLooks(inspections.map(({ record }) => record).filter((look) => look.flatness !== null));
  return {
    stone: stone?.record ?? null,
    looks: new Map(looks.map((look) => [look.face, look])),
    rate: clubRate(lappings.map(({ record }) => record), new Map(stones.map(({ record }) => [record.id, record]))),
    own: lappings.filter(({ record }) => record.stone_id === id).sort((a, b) => b.record.lapped_at.localeCompare(a.record.lapped_at)),
  };
}
type LapView = Awaited<ReturnType<typeof readLap>>;

/** Lapping one stone flat: how it stands, what it takes, and the log of what was done. */
export function Lap({ id }: { readonly id: string }) {
  const view = useLive(() => readLap(id), [id]);
  if (view === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (view.stone === null) return <Page><p>{say.noStone}</p></Page>;
  return <LapStone key={id} stone={view.stone} view={view} />;
}

/** The face that asks for it most: one with readings, and one without a mark, before the others. */
function firstFace(stone: Stone, view: LapView): Face {
  const rank = (face: Face): number =>
    (view.looks.get(face)?.flatness ? 0 : 2) + (stone.marks.some((mark) => mark.face === face) ? 1 : 0);
  return rank("back") < rank("front") ? "back" : "front";
}

function LapStone({ stone, view }: { stone: Stone; view: LapView }) {
  const form = useDraftForm({ key: `lapping:${stone.id}`, kind: "lapping", about_id: stone.id });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const chosen = form.values["face"];
  const face: Face = chosen === "front" || chosen === "back" ? chosen : firstFace(stone, view);
  const other: Face = face === "front" ? "back" : "front";
  const look = view.looks.get(face);
  const marks = stone.marks.filter((mark) => mark.face === face);
  const agreed = form.values[`agreed.${face}`] === true;
  const ask = marks.length > 0 && !agreed;
  return (
    <Page wide>
      <Head back={{ href: `/stones/${stone.id}`, words: say.back(stone.code) }} title={say.title(stone.code)}>
        {look?.flatness && !ask && <p class="soft">{say.lead(faces[face], age(look.inspected_at, Date.now()))}</p>}
      </Head>
      <Choice
        name={say.face}
        lay="strip"
        options={(["front", "back"] as const).map((value) => ({ value, words: faces[value] }))}
        value={face}
        onChoose={(value) => form.set({ face: value })}
      />
      {ask ? (
        <div class="sheet needs-you">
          <p><strong>{say.marked([...new Set(marks.map((mark) => (mark.kind === "stamp" ? say.stamp : say.skin)))].join(say.and))}</strong></p>
          <p>{say.markedAsk}</p>
          <div class="row">
            <button type="button" class="button button-main" onClick={() => form.set({ face: other })}>{say.otherFace}</button>
            <button type="button" class="button" onClick={() => form.set({ face, [`agreed.${face}`]: true })}>{say.agreed}</button>
          </div>
        </div>
      ) : (
        <>
          {marks.length > 0 && <p class="sheet">{say.isAgreed}</p>}
          {look?.flatness
            ? (
              <>
                {view.own.some(({ record }) => record.face === face && record.lapped_at > look.inspected_at) && (
                  <p class="sheet needs-you">{say.lappedSince}</p>
                )}
                <Plan stone={stone} inspection={look} rate={view.rate} form={form} />
              </>
            )
            : (
              <div class="sheet">
                <p>{say.noReadings}</p>
                <a class={`button ${styles.start}`} href={`/stones/${stone.id}/inspect`}>{say.inspect}</a>
              </div>
            )}
          <div class="stack">
            <Caution text={say.dust} />
            <Caution text={say.lift} />
            <p class="note">{say.edges}</p>
          </div>
          <Log stone={stone} face={face} agreed={marks.length > 0} form={form} />
        </>
      )}
      <OnRecord view={view} />
    </Page>
  );
}

function OnRecord({ view }: { view: LapView }) {
  const [all, setAll] = useState(false);
  const shown = all ? view.own : view.own.slice(0, 5);
  return (
    <section class="stack">
      <h2>{say.logged}</h2>
      {view.own.length === 0 && <p class="soft">{say.none}</p>}
      <ul class={styles.record}>
        {shown.map(({ record, state, problem }) => (
          <li key={record.id} class={state === "needs_you" ? "sheet needs-you" : "sheet"}>
            <div class="spread">
              <strong>{day(record.lapped_at)}, {faces[record.face].toLowerCase()}</strong>
              <StateBadge state={state} />
            </div>
            <p>{say.one(gritText(record.grit_number, record.grit_system), record.strokes, record.removed_um)}</p>
            {record.notes !== "" && <p>{record.notes}</p>}
            {state === "needs_you" && problem && <p>{problem.detail || problem.title}</p>}
          </li>
        ))}
      </ul>
      {shown.length < view.own.length && <button type="button" class={`button ${styles.start}`} onClick={() => setAll(true)}>{say.showAll(view.own.length)}</button>}
    </section>
  );
}
