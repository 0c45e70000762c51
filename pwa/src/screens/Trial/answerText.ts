import { bandText } from "../../domain/grit";
import type { ObservationAsked, ObservationValue } from "../../domain/records";
import { trial as say } from "../../words/trial";
import { answered, isBand } from "./draft";

/** An answer as a line of text, in the protocol's own words where it has any. */
export function answerText(asked: ObservationAsked, value: ObservationValue | undefined): string {
  if (value === undefined || value === null || !answered(value)) return say.nothing;
  if (isBand(value)) return bandText(value);
  if (typeof value === "boolean") return value ? say.yes : say.no;
  const chosen = asked.choices.find((choice) => choice.value === value);
  if (chosen) return chosen.words;
  return asked.unit ? `${value} ${asked.unit}` : String(value);
}
