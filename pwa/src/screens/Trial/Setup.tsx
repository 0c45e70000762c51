import { useState } from "preact/hooks";
import type { Blade, Face, Protocol, Stone, Trial, Verdict } from "../../domain/records";
import { Choice, type Option } from "../../parts/Choice";
import { NumberField } from "../../parts/Fields";
import { Head, Page } from "../../parts/Page";
import { drawnOf, StoneFace } from "../../parts/StoneFace";
import { Caution } from "../../parts/VerdictCard";
import { faces, mm, purposes } from "../../words/trade";
import { change as sayChange } from "../../words/change";
import { trial as say } from "../../words/trial";
import type { DraftForm } from "../useDraftForm";
import { stepsOf, type TrialDraft } from "./draft";
import { knowsByHeart } from "./start";
import styles from "./style.module.css";

/** Before the first step: protocol, blade, face. Nothing is chosen for the tester. */
export function Setup(props: {
  stone: Stone;
  /** Where leaving leads. */
  home: { readonly href: string; readonly words: string };
  /** A trial that is there already is being changed; its protocol stays. */
  changing: boolean;
  protocols: readonly Protocol[];
  blades: readonly Blade[];
  ownTrials: readonly Trial[];
  inspected: boolean;
  heldBack: readonly Verdict[];
  draft: TrialDraft;
  form: DraftForm;
  onBegin: () => void;
}) {
  const { stone, draft, form } = props;
  const protocol = draft.protocol;
  const marked = stone.marks.filter((mark) => mark.face === draft.face);
  const opposite: Face = draft.face === "front" ? "back" : "front";
  // Only if that one is bare: swapping one mark for another helps nobody.
  const other = marked.length > 0 && !stone.marks.some((mark) => mark.face === opposite) ? opposite : null;
  const ready = protocol !== null && draft.blade_id !== null && draft.face !== null;
  const at = protocol && draft.at !== null ? stepsOf(protocol, draft.brief).find((step) => step.id === draft.at) : undefined;

  return (
    <Page
      flow
      actions={
        <button type="button" class="button button-main" disabled={!ready} onClick={props.onBegin}>
          {!ready ? say.choose : at ? say.resume(at.title) : say.begin}
        </button>
      }
    >
      <Head back={props.home} title={props.changing ? sayChange.trialTitle(stone.code) : say.title(stone.code)}>
        <div class={styles.subjectFace}>
          <StoneFace stone={drawnOf(stone)} size="row" label="" />
          <span class="figures">{`${stone.length_mm} × ${stone.width_mm} × ${stone.thickness_mm} mm`}</span>
        </div>
        <p class="soft">{say.blind}</p>
      </Head>

      {props.heldBack.length > 0 && (
        <section class="sheet needs-you">
          <h2>{say.heldBack}</h2>
          <p>{say.heldBackBy([...new Set(props.heldBack.map((v) => v.verdict))].join(", "))}</p>
          <a class="button" href={`/stones/${stone.id}`}>{say.heldBackLook}</a>
        </section>
      )}
      {!props.inspected && (
        <p class="sheet">
          <span>{say.notInspected}</span>
          <a class="button" href={`/stones/${stone.id}/inspect`}>{say.inspectFirst}</a>
        </p>
      )}

      {props.protocols.length === 0 && <p>{say.noProtocols}</p>}
      <Choice
        name={say.protocol}
        lay="rows"
        options={protocolOptions(props.protocols, protocol)}
        value={protocol?.id ?? null}
        onChoose={(id) => {
          const chosen = props.protocols.find((p) => p.id === id);
          // Answers to another protocol's questions would not fit this one's; the bench stays as it is.
          if (!chosen || chosen.id === protocol?.id) return;
          form.set({ protocol: chosen, blade_id: undefined, at: undefined, brief: knowsByHeart(chosen, props.ownTrials) });
        }}
      />
      {protocol && <Blades {...props} protocol={protocol} />}
      <Choice
        name={say.face}
        lay="strip"
        options={(["front", "back"] as const).map((value): Option<Face> => ({ value, words: faces[value] }))}
        value={draft.face}
        onChoose={(face) => form.set({ face })}
      />
      {marked.map((mark, i) => (
        <Caution key={i} text={say.faceMarked(mark.kind === "stamp" ? say.stamp : say.skin)} />
      ))}
      {other !== null && <button type="button" class="button" onClick={() => form.set({ face: other })}>{say.takeOther(faces[other])}</button>}
      <NumberField
        name={say.thickness}
        unit="mm"
        low={0.5}
        high={500}
        help={say.thicknessWas(mm(stone.thickness_mm))}
        value={draft.thickness_mm}
        onSet={(thickness_mm) => form.set({ thickness_mm: thickness_mm ?? undefined })}
      />
      {protocol && (
        <>
          <section class="stack">
            <h2>{say.cautions}</h2>
            {protocol.cautions.map((caution) => <Caution key={caution.id} text={caution.text} />)}
          </section>
          <label class={styles.tick}>
            <input type="checkbox" checked={draft.brief} onChange={(event) => form.set({ brief: event.currentTarget.checked, at: undefined })} />
            <span>{say.brief}</span>
          </label>
        </>
      )}
      {form.trouble !== null && <p class="sheet needs-you" role="alert">{say.notKept(form.trouble)}</p>}
      {form.draft !== null && <StartAgain form={form} changing={props.changing} />}
    </Page>
  );
}

function protocolOptions(protocols: readonly Protocol[], kept: Protocol | null): Option<string>[] {
  // The purpose comes first, unless the name begins with it anyway.
  const named = (p: Protocol): Option<string> => ({
    value: p.id,
    words: p.name.toLowerCase().startsWith(purposes[p.purpose].toLowerCase()) ? p.name : `${purposes[p.purpose]}: ${p.name}`,
  });
  // A trial begun with a protocol that the club has since withdrawn can still be finished.
  return [...protocols, ...(kept && !protocols.some((p) => p.id === kept.id) ? [kept] : [])].map(named);
}

function Blades(props: {
  stone: Stone;
  protocol: Protocol;
  blades: readonly Blade[];
  ownTrials: readonly Trial[];
  draft: TrialDraft;
  form: DraftForm;
}) {
  const { protocol, draft, form } = props;
  const done = new Set(props.ownTrials.filter((t) => t.stone_id === props.stone.id && t.protocol_id === protocol.id).map((t) => t.blade_id));
  const option = (blade: Blade): Option<string> => ({
    value: blade.id,
    words: done.has(blade.id) ? `${blade.name} (${say.bladeDone})` : blade.name,
    second: bladeWords(blade),
  });
  // Blades still to be tried come first, reference steels before others.
  const rank = (blade: Blade): number => (done.has(blade.id) ? 2 : 0) + (protocol.reference_steels.includes(blade.steel) ? 0 : 1);
  const sorted = [...props.blades].sort((a, b) => rank(a) - rank(b) || a.name.localeCompare(b.name));
  const fitting = sorted.filter((blade) => blade.form === protocol.purpose);
  const others = sorted.filter((blade) => blade.form !== protocol.purpose);
  const choose = (blade_id: string): void => form.set({ blade_id });
  return (
    <div class="stack">
      {fitting.length === 0 && <p>{say.noBlades}</p>}
      <Choice name={say.blade} lay="rows" options={fitting.map(option)} value={draft.blade_id} onChoose={choose} />
      {others.length > 0 && (
        <details>
          <summary class={styles.more}>{say.otherBlades}</summary>
          <Choice name={say.otherBlades} hideName lay="rows" options={others.map(option)} value={draft.blade_id} onChoose={choose} />
        </details>
      )}
    </div>
  );
}

export const bladeWords = (blade: Blade): string =>
  `${blade.steel_name}${blade.hardness_hrc === null ? "" : `, ${say.hrc(blade.hardness_hrc)}`}`;

function StartAgain({ form, changing }: { form: DraftForm; changing: boolean }) {
  const [sure, setSure] = useState(false);
  if (!sure) {
    return <button type="button" class="button button-plain" onClick={() => setSure(true)}>{changing ? sayChange.drop : say.startAgain}</button>;
  }
  return (
    <div class="sheet needs-you">
      <p>{changing ? sayChange.sureDrop : say.sureDrop}</p>
      <div class="row">
        <button type="button" class="button" onClick={() => setSure(false)}>{say.keepIt}</button>
        <button type="button" class="button button-hand" onClick={() => void form.drop().then(() => setSure(false))}>{say.dropIt}</button>
      </div>
    </div>
  );
}
