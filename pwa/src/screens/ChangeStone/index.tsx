import { useRef, useState } from "preact/hooks";
import { Head, Page } from "../../parts/Page";
import { useLive } from "../../store/live";
import { changeStone as say } from "../../words/change-stone";
import { ChangeRecord } from "../ChangeRecord";
import { readIntakeClub } from "../Intake/read";
import { useCalmly } from "../Intake/useCalmly";
import { Form } from "./Form";
import { findStone, readFate } from "./read";
import { Saved, SetAside } from "./Saved";

const minded = ["stone", "lot", "offer", "rule_set"] as const;

/** One stone and its offer, to be mended or withdrawn (dealer, steward). */
export function ChangeStone({ id }: { readonly id: string }) {
  return <OneStone key={id} id={id} />;
}

function OneStone({ id }: { readonly id: string }) {
  const club = useCalmly(minded, () => readIntakeClub(id));
  const fate = useLive(() => readFate(id), [id]);
  // Said here, because a change that is saved leaves no form behind.
  const [saved, setSaved] = useState(false);
  const wasHere = useRef<string | null>(null);
  if (club === undefined || fate === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  const code = fate.stone?.record.code ?? wasHere.current ?? "";
  wasHere.current = code === "" ? null : code;
  if (!club.mayDeal) {
    return <Page><Head back={{ href: `/stones/${id}`, words: say.back(code) }} title={say.title(code)} /><p>{say.notForYou}</p></Page>;
  }
  // A stone that never arrived leaves nothing to mark as withdrawn: it is set aside.
  if (fate.stone === null && wasHere.current !== null) return <SetAside id={id} code={code} />;
  if (saved || fate.stone?.record.withdrawn != null) return <Saved id={id} fate={fate} />;
  return (
    <ChangeRecord kind="stone" stoneId={id} recordId={id} find={() => findStone(id, club.currency)}>
      {(form) => <Form id={id} form={form} club={club} fate={fate} onSaved={() => setSaved(true)} />}
    </ChangeRecord>
  );
}
