import { useState } from "preact/hooks";
import type { Face, PhotoUse, Stone as StoneRecord } from "../../domain/records";
import { densityOf } from "../../domain/soundness/facts";
import { Choice } from "../../parts/Choice";
import { Fact, Facts } from "../../parts/Fields";
import { Head, Page } from "../../parts/Page";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { asksForWork, VerdictCards } from "../../parts/VerdictCard";
import { useLive } from "../../store/live";
import { changeStone as sayChangeStone } from "../../words/change-stone";
import { lap as sayLap } from "../../words/lap";
import { stone as say } from "../../words/stone";
import { stones as sayStones } from "../../words/stones";
import { age, faces, forms, kinds, photoViews } from "../../words/trade";
import { calendarDay } from "../calendarDay";
import { PublishLine } from "../Publish/Line";
import { StandingSign } from "../Stones/StandingSign";
import { standing } from "../Stones/state";
import { usePhotoUrl } from "../usePhotoUrl";
import { OpenWork } from "../Work/OpenWork";
import { Panel } from "./Panel";
import { Inspections, OwnTrials } from "./Own";
import { purposesSeen, readStonePage, type StonePage } from "./readStone";
import { useOthers } from "./useOthers";
import { OpenAsked, Whereabouts } from "./Whereabouts";
import { verdictsOf } from "./verdictsOf";
import rows from "./own.module.css";
import styles from "./style.module.css";

/** One stone: what it looks like, what it needs, how you and the panel found it. */
export function Stone({ id }: { readonly id: string }) {
  const page = useLive(() => readStonePage(id), [id]);
  const others = useOthers(id, page);
  if (page === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const { stone } = page;
  if (stone === null) {
    return <Page><Head back={{ href: "/stones", words: say.back }} title={say.back} /><p>{say.noStone}</p></Page>;
  }
  const purposes = purposesSeen(page);

  return (
    <Page
      wide
      actions={
        <>
          <a class="button" href={`/stones/${id}/inspect`}>{page.hasInspectionDraft ? say.goOnInspecting : say.inspect}</a>
          <a class="button button-main" href={`/stones/${id}/trial`}>{page.hasTrialDraft ? say.goOnTrying : say.try}</a>
        </>
      }
    >
      <Head back={{ href: "/stones", words: say.back }} title={stone.code}>
        <p class="soft">{[kinds[stone.kind], forms[stone.form], page.lot?.name].filter(Boolean).join(", ")}</p>
        <Standings page={page} stone={stone} />
      </Head>
      {page.confirm.map(({ face, gone_mm, lapped }) => (
        <p key={face} class={`sheet needs-you ${rows.confirm}`}>
          <span>{lapped ? say.lappedSince(gone_mm, faces[face], page.mayDeal) : say.thinnerSince(gone_mm, faces[face], page.mayDeal)}</span>
          <a class="button" href={`/stones/${id}/trial`}>{say.tryAgain}</a>
        </p>
      ))}
      {stone.withdrawn && <p class="sheet needs-you">{say.withdrawn(stone.withdrawn.reason)}</p>}
      <Whereabouts page={page} stoneId={id} code={stone.code} />
      <OpenWork stoneId={id} />
      {page.mayDeal && <PublishLine stoneId={id} />}
      <OpenAsked page={page} now={calendarDay(new Date())} />
      <div class={styles.columns}>
        <div class={styles.column}>
          <FaceAndVerdicts page={page} stone={stone} />
          <p><a class="button" href={`/stones/${id}/lap`}>{sayLap.link}</a></p>
          <StoneFacts page={page} stone={stone} />
          {page.mayDeal && stone.withdrawn === null && (
            <p><a class="button" href={`/stones/${id}/change`}>{page.changing.has(id) ? sayChangeStone.goOn : sayChangeStone.link}</a></p>
          )}
          <Inspections page={page} />
          <Photos photos={[...stone.photos, ...page.inspections.flatMap((i) => i.photos), ...page.ownTrials.flatMap(({ record }) => record.photos)]} />
        </div>
        <div class={styles.column}>
          <OwnTrials page={page} />
          {purposes.map((purpose) => (
            <Panel
              key={purpose}
              stoneId={id}
              purpose={purpose}
              blades={page.blades}
              protocols={page.protocols.filter((p) => p.purpose === purpose)}
              ownTrials={page.ownTrials.map(({ record }) => record).filter((t) =>
                t.withdrawn === null && page.protocols.find((p) => p.id === t.protocol_id)?.purpose === purpose)}
              others={others.trials.filter((t) => page.protocols.find((p) => p.id === t.protocol_id)?.purpose === purpose)}
              names={page.names}
              mayReview={page.mayDeal}
            />
          ))}
          {others.away && <p class="note">{say.othersAway}</p>}
        </div>
      </div>
    </Page>
  );
}

function Standings({ page, stone }: { page: StonePage; stone: StoneRecord }) {
  const now = standing(page.inspections, page.trials, page.member, (i) => verdictsOf(stone, i, page.rules).verdicts);
  return (
    <ul class={styles.standings}>
      {[...now.states].map((state) => (
        <li key={state} class={state === "needs_hand" ? styles.hand : ""}>
          <StandingSign state={state} /> {sayStones.states[state]}
        </li>
      ))}
    </ul>
  );
}

function FaceAndVerdicts({ page, stone }: { page: StonePage; stone: StoneRecord }) {
  const [chosen, setChosen] = useState<Face | null>(null);
  // The face with the latest inspection is the one people mean.
  const latest = Object.values(page.latest).sort((a, b) => b.inspected_at.localeCompare(a.inspected_at))[0];
  const face = chosen ?? latest?.face ?? "front";
  const inspection = page.latest[face];
  const answer = inspection === undefined ? null : verdictsOf(stone, inspection, page.rules);
  const findings = inspection?.findings ?? [];
  const needsHand = new Set((answer?.verdicts ?? []).flatMap((v) => (v.finding_id !== null && asksForWork(v.urgency) ? [v.finding_id] : [])));
  return (
    <section class="stack">
      <StoneFace
        stone={drawnOf(stone)}
        findings={findings}
        needsHand={needsHand}
        size="page"
        face={face}
        label={say.face(stone.code, findings.length)}
      />
      <Choice
        name={say.whichFace}
        hideName
        lay="strip"
        options={(["front", "back"] as const).map((value) => ({ value, words: faces[value] }))}
        value={face}
        onChoose={setChosen}
      />
      <div class="spread">
        <h2>{say.verdicts}</h2>
        <span class="note">{inspection === undefined ? "" : say.inspected(age(inspection.inspected_at, Date.now()))}</span>
      </div>
      {inspection === undefined && <p>{say.notInspected}</p>}
      {answer?.local === true && <p class="note">{say.localVerdicts}</p>}
      {answer !== null && answer.verdicts.length === 0 && <p>{say.allWell}</p>}
      <VerdictCards
        verdicts={answer?.verdicts ?? []}
        findingNumber={(id) => findings.findIndex((f) => f.id === id) + 1}
      />
    </section>
  );
}

function StoneFacts({ page, stone }: { page: StonePage; stone: StoneRecord }) {
  const density = densityOf(stone);
  return (
    <section class="stack">
      <h2>{say.facts}</h2>
      <Facts>
        <Fact name={say.size}>{`${stone.length_mm} × ${stone.width_mm} × ${stone.thickness_mm} mm`}</Fact>
        {stone.mass_g !== null && <Fact name={say.mass}>{stone.mass_g} g</Fact>}
        {density !== null && <Fact name={say.density}>{density.toFixed(2)} g/cm³</Fact>}
        {page.lot && <Fact name={say.lot}>{page.lot.code} {page.lot.name}</Fact>}
        {stone.colour !== "" && <Fact name={say.colour}>{stone.colour}</Fact>}
        <Fact name={say.sealed}>{stone.sides_sealed ? say.sealedYes : say.sealedNo}</Fact>
        {stone.marks.length > 0 && (
          <Fact name={say.marks}>
            {stone.marks.map((m) => (m.kind === "stamp" ? say.stamp(faces[m.face].toLowerCase()) : say.skin(faces[m.face].toLowerCase()))).join(", ")}
          </Fact>
        )}
      </Facts>
      {stone.notes !== "" && <p>{stone.notes}</p>}
    </section>
  );
}

function Photos({ photos }: { photos: readonly PhotoUse[] }) {
  const once = photos.filter((photo, i) => photos.findIndex((p) => p.sha256 === photo.sha256) === i);
  if (once.length === 0) return null;
  return (
    <section class="stack">
      <h2>{say.photos}</h2>
      <ul class={styles.photos}>{once.map((photo) => <Thumb key={photo.sha256} photo={photo} />)}</ul>
    </section>
  );
}

function Thumb({ photo }: { photo: PhotoUse }) {
  const thumb = usePhotoUrl(photo.sha256, "thumb");
  const full = usePhotoUrl(photo.sha256, "full");
  const [broken, setBroken] = useState(false);
  const words = photo.caption === "" ? photoViews[photo.view] : photo.caption;
  return (
    <li>
      <a href={full ?? undefined} target="_blank" rel="noopener">
        {thumb && !broken && <img class={styles.thumb} src={thumb} alt={say.photo(words)} loading="lazy" onError={() => setBroken(true)} />}
        {broken && <span class={styles.noPhoto}>{say.noPhoto}</span>}
      </a>
      <span class="note">{words}</span>
    </li>
  );
}
