/**
 * Labels for stones, as a PDF. The service draws them, so a signal is needed, and the stones must have been sent.
 *
 *   const view = await printLabels(stoneIds, "a4", 5);
 *   view.kind: "here" (value is the PDF) | "no_network" | "signed_out" | "not_allowed" | "trouble" (detail says what)
 */

import { labelTimeoutMs } from "../constants";
import type { LabelLayoutName, LabelPaper, LabelsRequest } from "../domain/label_sheets";
import { transport } from "./loop";
import { viewOf, type View } from "./views";

/** `skip` labels of the first sheet are used already; without a layout it is the paper's first. */
export async function printLabels(
  stoneIds: readonly string[],
  paper: LabelPaper,
  skip: number,
  layout: LabelLayoutName | null = null,
): Promise<View<Blob>> {
  const json: LabelsRequest = { stone_ids: stoneIds, paper, layout, skip };
  const answer = await transport({ method: "POST", path: "/labels", json, wants: "pdf", timeoutMs: labelTimeoutMs });
  // Which stone it is stands in the fields; the sentence above them only says that there is one.
  if (answer.kind === "refused" && answer.problem.errors.length > 0) {
    const { detail, errors } = answer.problem;
    return { kind: "trouble", detail: [detail, ...errors.map((one) => one.message)].join(" ") };
  }
  return viewOf<Blob>(answer);
}
