import { useMemo, useRef, useState } from "preact/hooks";
import type { Face as Side, Finding, PhotoUse, Stone } from "../../domain/records";
import { tiePhoto, type TiedPhoto } from "../../domain/soundness/photo";
import { Refused } from "../../domain/soundness/refusal";
import { faceSize, photoPoint } from "../../domain/units";
import { Choice } from "../../parts/Choice";
import { DrawnFindings } from "../../parts/PhotoTrace/Drawn";
import { usePictureSize } from "../../parts/PhotoTrace/usePicture";
import { useShownScale } from "../../parts/PhotoTrace/useShownScale";
import type { PictureSize } from "../../parts/PhotoTrace/place";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { asksForWork } from "../../parts/VerdictCard";
import { review as say } from "../../words/review";
import { stone as sayStone } from "../../words/stone";
import { faces, findingKinds } from "../../words/trade";
import { verdictsOf } from "../Stone/verdictsOf";
import { usePhotoUrl } from "../usePhotoUrl";
import { facePhoto, type ReviewBase } from "./read";
import styles from "./style.module.css";

/** The face with what was found on it: on its photo where the corners are known, else on the drawing with the photo beside. */
export function Face({ base, stone }: { readonly base: ReviewBase; readonly stone: Stone }) {
  const [chosen, setChosen] = useState<Side | null>(null);
  const looked = Object.values(base.latest).sort((a, b) => b.inspected_at.localeCompare(a.inspected_at))[0];
  const side = chosen ?? looked?.face ?? "front";
  const inspection = base.latest[side];
  const findings = inspection?.findings ?? [];
  const verdicts = inspection === undefined ? [] : verdictsOf(stone, inspection, base.rules).verdicts;
  const needsHand = new Set(verdicts.flatMap((v) => (v.finding_id !== null && asksForWork(v.urgency) ? [v.finding_id] : [])));
  const photo = facePhoto(base, side);
  return (
    <section class="stack">
      <h2>{say.face}</h2>
      <Pictures key={`${side} ${photo?.sha256 ?? ""}`} stone={stone} side={side} photo={photo} findings={findings} needsHand={needsHand} />
      <Choice
        name={sayStone.whichFace}
        hideName
        lay="strip"
        options={(["front", "back"] as const).map((value) => ({ value, words: faces[value] }))}
        value={side}
        onChoose={setChosen}
      />
      {inspection === undefined
        ? <p class="soft">{say.notInspected}</p>
        : findings.length === 0 ? <p class="soft">{say.noFindings}</p> : (
          <ol class={styles.findings}>
            {findings.map((finding) => <li key={finding.id}>{findingKinds[finding.kind]}{needsHand.has(finding.id) ? `: ${verdictWords(verdicts, finding.id)}` : ""}</li>)}
          </ol>
        )}
    </section>
  );
}

const verdictWords = (verdicts: readonly { readonly finding_id: string | null; readonly verdict: string }[], id: string): string =>
  [...new Set(verdicts.filter((verdict) => verdict.finding_id === id).map((verdict) => verdict.verdict))].join(", ");

interface Shown {
  readonly stone: Stone;
  readonly side: Side;
  readonly photo: PhotoUse | null;
  readonly findings: readonly Finding[];
  readonly needsHand: ReadonlySet<string>;
}

function Pictures(props: Shown) {
  const { stone, photo, findings } = props;
  const url = usePhotoUrl(photo?.sha256 ?? null, "full");
  const picture = usePictureSize(url);
  const tied = useMemo(() => tie(photo, stone), [photo, stone]);
  if (url !== null && picture !== null && tied !== null) return <OnPhoto {...props} url={url} picture={picture} tied={tied} />;
  return (
    <>
      <StoneFace
        stone={drawnOf(stone)}
        findings={findings}
        needsHand={props.needsHand}
        size="page"
        face={props.side}
        label={sayStone.face(stone.code, findings.length)}
      />
      {url !== null && picture !== null && <img class={styles.photo} src={url} alt={say.photoBeside(stone.code)} />}
      {url !== null && picture !== null && findings.length > 0 && <p class="note">{say.noCorners}</p>}
      {photo !== null && picture === null && <p class="note">{say.photoAway}</p>}
    </>
  );
}

/** Null where the corners are not marked, or do not make a face: then nothing is drawn on the photo. */
function tie(photo: PhotoUse | null, stone: Stone): TiedPhoto | null {
  const corners = (photo?.corners ?? []).map(([x = 0, y = 0]) => photoPoint(x, y));
  if (corners.length !== 4) return null;
  try {
    return tiePhoto(corners, faceSize(stone.length_mm, stone.width_mm));
  } catch (error) {
    if (error instanceof Refused) return null;
    throw error;
  }
}

function OnPhoto({ stone, findings, needsHand, url, picture, tied }: Shown & { url: string; picture: PictureSize; tied: TiedPhoto }) {
  const svg = useRef<SVGSVGElement>(null);
  const u = useShownScale(svg, picture);
  // A finding at the upper edge has its number above the photo.
  const above = findings.length > 0 ? 32 * u : 0;
  return (
    <svg ref={svg} class={styles.picture} viewBox={`0 ${-above} ${picture.width} ${picture.height + above}`} role="img" aria-label={say.photoFace(stone.code, findings.length)}>
      <image href={url} width={picture.width} height={picture.height} />
      <DrawnFindings photo={tied} findings={findings} needsHand={needsHand} u={u} />
    </svg>
  );
}
