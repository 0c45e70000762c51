import { useRef, useState } from "preact/hooks";
import { refusedFields, whatChanges, withPhoto } from "../../domain/intake/change";
import { continued, plainCode } from "../../domain/intake/codes";
import { checkRows, type RowField } from "../../domain/intake/rows";
import { Head, Page } from "../../parts/Page";
import { saveRecords, type RecordToSave } from "../../sync/commands";
import { change as sayChange } from "../../words/change";
import { changeStone as say } from "../../words/change-stone";
import { troubleWords } from "../../words/intake";
import { Card, type WrongWith } from "../Intake/Card";
import type { IntakeClub } from "../Intake/read";
import type { DraftForm, Values } from "../useDraftForm";
import { LotField } from "./LotField";
import { OfferFields, offerNotesWrong } from "./Offer";
import { readBegun, readChangedStone, type Fate } from "./read";
import { Refused } from "./Refused";
import { Drop, Withdraw } from "./Ways";

const ofStone: readonly RowField[] = ["colour", "sides_sealed", "mark_front", "mark_back", "notes"];
const ofOffer: readonly RowField[] = ["cost", "price", "currency"];

export function Form(props: { readonly id: string; readonly form: DraftForm; readonly club: IntakeClub; readonly fate: Fate; readonly onSaved: () => void }) {
  const { id, form, club, fate } = props;
  const begun = readBegun(form.values);
  const changed = readChangedStone(form.values);
  const { row } = changed;
  const [saving, setSaving] = useState(false);
  const [failed, setFailed] = useState<string | null>(null);
  // A photo takes a moment to shrink, and another may be taken meanwhile.
  const photos = useRef(row.photos);
  photos.current = row.photos;

  const offerGone = fate.offer !== null && fate.offer.record.withdrawn !== null;
  const isChoice = fate.stone?.state === "needs_you" && isVersions(fate.stone.problem?.code);
  const [checked = { troubles: [], remarks: [], density: null }] = checkRows([row], club.known, club.believable);
  const refused = fate.stone?.state === "needs_you" && fate.stone.problem !== null ? refusedFields(fate.stone.problem, begun.stone) : null;
  const refusedOffer = fate.offer?.state === "needs_you" && fate.offer.problem !== null ? refusedFields(fate.offer.problem, begun.stone) : null;

  const wrongWith: WrongWith = (field, trouble, value) => {
    if (trouble?.kind === "missing") return say.missing;
    if (trouble?.kind === "taken") return say.taken(value, trouble.by);
    if (trouble !== undefined) return troubleWords(trouble, value);
    // What the service refused is wrong as long as it stands there unchanged.
    const told = (ofOffer.includes(field) ? refusedOffer : refused)?.get(field) ?? null;
    return told !== null && value === begunValue(begun, field) ? told : null;
  };
  const set = (changes: Values): void => {
    setFailed(null);
    form.set(changes);
  };
  const onValue = (field: RowField, text: string): void => set({ [field]: text });

  const codeWrong = checked.troubles.some(({ kind }) => kind === "taken") || (refused?.has("code") === true && row.values.code === begun.stone.code);
  const taken = new Set([...club.known.keys(), plainCode(begun.stone.code), plainCode(row.values.code)]);
  const free = codeWrong ? continued([...(club.ofLot.get(changed.lot_id) ?? []).map(({ code }) => code), row.values.code], taken) : null;

  const isSound = checked.troubles.length === 0 && offerNotesWrong(changed) === null;
  const save = async (): Promise<void> => {
    setSaving(true);
    setFailed(null);
    try {
      const kept = await form.settled();
      if (kept === null) throw new Error(form.trouble ?? "");
      const { stone, offer } = whatChanges(begun, changed);
      const records: RecordToSave[] = [
        ...(stone === null ? [] : [{ thing: "stone" as const, id, body: stone, base: begun.base, madeOn: begun.made_on }]),
        ...(offer === null || offerGone ? [] : [{
          thing: "offer" as const, id, body: offer, base: begun.offer?.base ?? null, madeOn: begun.offer?.made_on ?? null,
        }]),
      ];
      await saveRecords(records, { key: kept.key, left: null });
      props.onSaved();
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
      setSaving(false);
    }
  };

  return (
    <Page
      flow
      wide
      actions={(
        <button type="button" class="button button-main" disabled={saving || !isSound || form.draft === null} onClick={() => void save()}>
          {saving ? say.saving : form.draft === null ? sayChange.nothingYet : isSound ? say.save : say.mendFirst}
        </button>
      )}
    >
      <Head back={{ href: `/stones/${id}`, words: say.back(begun.stone.code) }} title={say.title(begun.stone.code)}>
        <p class="soft">{say.lead}</p>
      </Head>
      {isChoice && <p class="sheet needs-you">{say.choice} <a class="button button-hand" href="/">{sayChange.compare}</a></p>}
      {!isChoice && fate.stone?.state === "needs_you" && <Refused title={say.refused} problem={fate.stone.problem} />}
      {fate.offer?.state === "needs_you" && <Refused title={say.refusedOffer} problem={fate.offer.problem} />}
      {free !== null && <p><button type="button" class="button button-hand" onClick={() => onValue("code", free)}>{say.giveCode(free)}</button></p>}
      <Card
        row={row}
        number={0}
        all={1}
        checked={checked}
        begin={false}
        onValue={onValue}
        onPhoto={(view, photo) => {
          photos.current = withPhoto(photos.current, view, photo);
          set({ photos: photos.current });
        }}
        change={{ title: say.stone, more: ofStone, wrongWith }}
      />
      <LotField
        club={club}
        value={changed.lot_id}
        wrong={refused?.has("lot_id") === true && changed.lot_id === begun.stone.lot_id ? refused.get("lot_id") ?? null : null}
        onLot={(lot_id) => set({ lot_id })}
      />
      {!offerGone && <OfferFields begun={begun} changed={changed} checked={checked} fields={ofOffer} wrongWith={wrongWith} onValue={onValue} onSet={set} />}
      {failed !== null && <p class="sheet needs-you" role="alert">{say.failed(failed)}</p>}
      {form.trouble !== null && <p class="sheet needs-you" role="alert">{say.notKept(form.trouble)}</p>}
      {form.draft !== null && <Drop form={form} />}
      <Withdraw id={id} withOffer={fate.offer !== null && !offerGone} />
    </Page>
  );
}

const isVersions = (code: string | undefined): boolean => code === "precondition_failed" || code === "precondition_missing";

function begunValue(begun: ReturnType<typeof readBegun>, field: RowField): string {
  const own: Readonly<Record<string, unknown>> = { ...begun.stone, ...(ofOffer.includes(field) ? begun.offer?.own : {}) };
  const value = own[field];
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}
