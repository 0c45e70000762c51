import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Stone } from "../../domain/records";
import { Head, Page } from "../../parts/Page";
import { readOne } from "../../store/catalogue";
import { change as say } from "../../words/change";
import { changeKey } from "../changeKey";
import { useDraftForm, type DraftForm, type Start } from "../useDraftForm";
import { valuesOfInspection } from "./changed";

/** The inspection's form filled with a record that is there already. */
export function ChangeInspection(props: { stone: Stone; inspectionId: string; children: (form: DraftForm) => ComponentChildren }) {
  const { stone, inspectionId } = props;
  const [start, setStart] = useState<Start | null | undefined>();
  useEffect(() => {
    let current = true;
    void readOne("inspection", inspectionId).then((seen) => {
      if (current) setStart(seen === null ? null : { record_id: inspectionId, values: valuesOfInspection(seen.record, stone) });
    });
    return () => { current = false; };
    // eslint-disable-next-line react-hooks/exhaustive-deps -- read once: news of the stone must not reset a form
  }, [inspectionId]);
  if (start === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  if (start === null) {
    return (
      <Page>
        <Head back={{ href: `/stones/${stone.id}`, words: say.back }} title={say.cannot} />
        <p>{say.notHere}</p>
      </Page>
    );
  }
  return <Filled stone={stone} inspectionId={inspectionId} start={start}>{props.children}</Filled>;
}

function Filled(props: { stone: Stone; inspectionId: string; start: Start; children: (form: DraftForm) => ComponentChildren }) {
  const form = useDraftForm({ key: changeKey(props.inspectionId), kind: "inspection", about_id: props.stone.id, start: props.start });
  if (form === undefined) return <Page><p class="soft">{say.reading}</p></Page>;
  return <>{props.children(form)}</>;
}
