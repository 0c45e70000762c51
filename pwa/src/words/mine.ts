/** Where a tester's own grades stand against the panel. */

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

/** A distance on the scale in quarters of a whole level. */
function steps(size: number): string {
  const quarters = Math.round(size * 4);
  if (quarters === 0) return "a shade";
  if (quarters === 1) return "a quarter step";
  if (quarters === 2) return "half a step";
  if (quarters === 3) return "three quarters of a step";
  return quarters === 4 ? "a whole step" : `about ${size.toFixed(1)} steps`;
}

const signed = (value: number): string => (value < -0.05 ? `${(-value).toFixed(1)} below` : value > 0.05 ? `${value.toFixed(1)} above` : "the same");

export const mine = {
  title: "How I grade",
  back: "Me",
  lead: "Your own grades beside the panel's, and what the club's computation makes of your level. Only you, your dealer and your steward see this.",
  reading: "Reading your trials…",
  none: "Nothing here yet. Once a trial of yours is sent and pooled, you see here where it stands.",
  noneStart: "To the bench",
  purpose: "Purpose",
  scale: "Scale",
  notPooled: "No grade of yours on this scale has been pooled yet.",

  level: "Your level",
  lean: {
    severe: (size: number): string => `You grade ${steps(size)} more severe than the panel.`,
    mild: (size: number): string => `You grade ${steps(size)} milder than the panel.`,
    level: "You grade as the panel does.",
    unknown: "It cannot be told yet whether you grade severer or milder than the panel.",
  },
  levelFigures: (severity: number, low: number, high: number, n: number): string =>
    `Of the same stone, ${severity > 0.005 ? `${severity.toFixed(2)} below` : severity < -0.005 ? `${(-severity).toFixed(2)} above` : "the same as"} the panel; ` +
    `90 % between ${below(low)} and ${below(high)}, by ${many(n, "trial", "trials")}.`,
  ruler: (severity: number, low: number, high: number): string =>
    `Your level against the panel: ${below(severity)}, 90 % between ${below(low)} and ${below(high)}`,
  lower: "lower than the panel",
  higher: "higher",
  checked: {
    too_few: "",
    below: "Where grades are agreed beforehand, you grade below them on the whole.",
    level: "Where grades are agreed beforehand, you grade at them on the whole.",
    above: "Where grades are agreed beforehand, you grade above them on the whole.",
  },
  isCorrected: "This is no fault. The pooled grades are corrected for it; what counts is that it stays the same.",

  steady: "Your steadiness",
  steadyIs: {
    steadier: "You are steadier than most here.",
    alike: "You are about as steady as the others.",
    less: "Your grades scatter more than most here.",
  },
  steadyFigures: (sigma: number, low: number, high: number, weight: number): string =>
    `Around your own level they scatter by ${sigma.toFixed(2)} (90 % between ${low.toFixed(2)} and ${high.toFixed(2)}). A trial of yours counts ${weight.toFixed(1)} times an average one.`,
  noted: (note: string): string => `Noted: ${note}.`,

  moved: "Has it moved?",
  movedIs: {
    too_few: (n: number): string => `${many(n, "trial is", "trials are")} too few to tell. Six make a start.`,
    steady: (n: number): string => `No. Over ${many(n, "trial", "trials")} your level has stayed where it is.`,
    moved: "Yes. Your last grades lie off your usual level.",
    movedBy: (by: number, since: string): string =>
      `Yes. Since ${since} you grade ${steps(Math.abs(by))} ${by < 0 ? "more severe" : "milder"} than before.`,
  },
  check: "Your dealer may hand you a check stone again. It shows whether you have moved, or the stones were unlike.",
  chart: (n: number): string => `Your level over ${n} trials, with its limits. The table below says the same in figures.`,
  chartHint: "Line: your grades against what was expected of you, smoothed over about ten trials. Band: where a steady tester stays.",
  milder: "milder than usual",
  severer: "more severe",
  table: "The chart as a table",
  tableHead: { when: "Trial", stone: "Stone", z: "Level", limits: "Limits" },
  noStone: "not on this phone",

  stones: (n: number): string => `Your ${many(n, "stone", "stones")}`,
  stonesLead: "The furthest from the panel first. Notch and band: the panel's grade and its 90 % interval. Diamonds: yours.",
  you: "You",
  panel: "Panel",
  gap: (gap: number): string => signed(gap),
  inside: "within the band",
  showAll: (n: number): string => `Show all ${n}`,
  row: (code: string, own: string, panel: string): string => `${code}: you ${own}, the panel ${panel}`,
  linkAfter: "See how it stands against the panel",
  needsSignal: "Your level needs a signal once, to be fetched.",
};

function below(severity: number): string {
  if (severity > 0.005) return `${severity.toFixed(2)} below`;
  return severity < -0.005 ? `${(-severity).toFixed(2)} above` : "0.00";
}
