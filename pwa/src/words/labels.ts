/** Printing labels for stones. */
const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const labels = {
  title: "Labels to print",
  lead: (n: number): string => `${many(n, "label", "labels")}, each with the stone's code and a QR code that opens the stone.`,
  paper: "Paper",
  papers: { a4: "A4", letter: "US Letter" },
  sheet: "Label sheet",
  size: (width: string, height: string, n: number, cut: boolean): string =>
    `${width} × ${height} mm, ${n} on a sheet${cut ? ", plain paper to cut" : ""}`,
  skip: "Labels used already on the first sheet",
  skipHelp: "Counted along the rows from the top left. 0 for a new sheet. You can also tap the first free label in the drawing.",
  drawing: "The first sheet: tap the first free label",
  sheets: (labels: number, sheets: number): string => `${many(labels, "label", "labels")} on ${many(sheets, "sheet", "sheets")}.`,
  tooMany: (n: number, most: number): string => `${n} stones are more than the ${most} that can be printed at once. Choose fewer.`,
  noStones: "Choose at least one stone.",
  make: "Make the labels",
  making: "Drawing the labels…",
  ready: "The labels are ready.",
  open: "Open the PDF",
  save: "Save the PDF",
  fullSize: "Print at full size (100 %), not fitted to the page, or the labels drift off their places.",
  trouble: {
    no_network: "Labels need a signal, since the service draws them. Your stones are safe here; print when you are on line.",
    signed_out: "You are signed out. Sign in, then print.",
    not_allowed: "Labels are printed by dealers and stewards.",
    not_found: "This service does not print labels yet. Ask your steward to update it.",
    blind: "Labels are printed by dealers and stewards.",
    trouble: "The service could not draw the labels.",
  } as Readonly<Record<string, string>>,
  close: "Close",
};
