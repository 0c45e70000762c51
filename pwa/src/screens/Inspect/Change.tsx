import type { ComponentChildren } from "preact";
import type { Stone } from "../../domain/records";
import { readOne } from "../../store/catalogue";
import { change as say } from "../../words/change";
import { ChangeRecord } from "../ChangeRecord";
import type { DraftForm } from "../useDraftForm";
import { valuesOfInspection } from "./changed";

/** The inspection's form filled with a record that is there already. */
export function ChangeInspection(props: { stone: Stone; inspectionId: string; children: (form: DraftForm) => ComponentChildren }) {
  const { stone, inspectionId } = props;
  const find = async () => {
    const inspection = (await readOne("inspection", inspectionId))?.record ?? null;
    return inspection === null ? { cannot: say.notHere } : { record_id: inspectionId, values: valuesOfInspection(inspection, stone) };
  };
  return <ChangeRecord kind="inspection" stoneId={stone.id} recordId={inspectionId} find={find}>{props.children}</ChangeRecord>;
}
