import { formList, kindList, markList, type RowField } from "../../domain/intake/rows";
import { intake as say, markWords } from "../../words/intake";
import { forms, kinds } from "../../words/trade";

export interface CellOption {
  readonly value: string;
  readonly words: string;
}

const marks: readonly CellOption[] = markList.map((value) => ({ value, words: markWords[value] ?? value }));

/** Of a cell that chooses: what from. */
export const optionsOf: Readonly<Partial<Record<RowField, readonly CellOption[]>>> = {
  kind: [{ value: "", words: say.choose }, ...kindList.map((value) => ({ value, words: kinds[value] }))],
  form: [{ value: "", words: say.choose }, ...formList.map((value) => ({ value, words: forms[value] }))],
  sides_sealed: [{ value: "", words: say.no }, { value: "yes", words: say.yes }],
  mark_front: marks,
  mark_back: marks,
};

/** A word from a file that no option knows stays in sight, or the dealer could not see what is wrong. */
export const optionsWith = (field: RowField, value: string): readonly CellOption[] => {
  const options = optionsOf[field] ?? [];
  return options.some((one) => one.value === value) ? options : [{ value, words: value }, ...options];
};

export const isFigure = (field: RowField): boolean =>
  field === "length_mm" || field === "width_mm" || field === "thickness_mm" || field === "mass_g" || field === "cost" || field === "price";

export const unitOf = (field: RowField): string =>
  field === "mass_g" ? "g" : field === "length_mm" || field === "width_mm" || field === "thickness_mm" ? "mm" : "";

/** What a cell takes: a currency is written in capitals whatever the hand does. */
export const asTyped = (field: RowField, text: string): string => (field === "currency" ? text.toUpperCase() : text);
