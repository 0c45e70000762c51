/** Sheets of labels that the service prints on. tests/vectors/label_sheets.json holds this list to the service's own. Pure. */

export type LabelPaper = "a4" | "letter";
export type LabelLayoutName = "70x37" | "63.5x38.1" | "99.1x38.1" | "60x40" | "66.7x25.4" | "101.6x50.8";

export interface LabelSheet {
  readonly paper: LabelPaper;
  readonly layout: LabelLayoutName;
  readonly columns: number;
  readonly rows: number;
  readonly width_mm: number;
  readonly height_mm: number;
  /** Plain paper with marks to cut along. */
  readonly cut: boolean;
}

const sheet = (
  paper: LabelPaper, layout: LabelLayoutName, columns: number, rows: number, width_mm: number, height_mm: number, cut = false,
): LabelSheet => ({ paper, layout, columns, rows, width_mm, height_mm, cut });

/** The first of a paper is what the service prints on when none is named. */
export const labelSheets: readonly LabelSheet[] = [
  sheet("a4", "70x37", 3, 8, 70, 37),
  sheet("a4", "63.5x38.1", 3, 7, 63.5, 38.1),
  sheet("a4", "99.1x38.1", 2, 7, 99.1, 38.1),
  sheet("a4", "60x40", 3, 6, 60, 40, true),
  sheet("letter", "66.7x25.4", 3, 10, 66.675, 25.4),
  sheet("letter", "101.6x50.8", 2, 5, 101.6, 50.8),
  sheet("letter", "60x40", 3, 6, 60, 40, true),
];

export const nLabels = (one: LabelSheet): number => one.columns * one.rows;

export const sheetsOn = (paper: LabelPaper): readonly LabelSheet[] => labelSheets.filter((one) => one.paper === paper);

/** How many sheets n labels take when some of the first one are used already. */
export const nSheets = (one: LabelSheet, n: number, skip: number): number => Math.ceil((n + skip) / nLabels(one));

/** The service prints so many at once. */
export const mostLabels = 500;

export interface LabelsRequest {
  readonly stone_ids: readonly string[];
  readonly paper: LabelPaper;
  readonly layout: LabelLayoutName | null;
  readonly skip: number;
}
