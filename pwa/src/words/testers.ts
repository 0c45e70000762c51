/** The club's testers, as the dealer sees them. */
const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);
const against = (severity: number): string =>
  severity > 0.005 ? `${severity.toFixed(2)} below the panel` : severity < -0.005 ? `${(-severity).toFixed(2)} above the panel` : "level with the panel";
const side = (difference: number): string =>
  difference > 0.005 ? `${difference.toFixed(2)} above` : difference < -0.005 ? `${(-difference).toFixed(2)} below` : "the same";

export const testers = {
  title: "Testers",
  back: "Pooled grades",
  backToAll: "Testers",
  lead: "How each tester grades: level, steadiness, whether it moves, and the record on check stones. Each tester sees the own figures, without the agreed grades; nobody else sees any.",
  reading: "Reading the club…",
  purpose: "Purpose",
  scale: "Scale",
  noPurpose: "No protocol on this phone yet. Go on line once.",
  none: "Nobody has graded on this scale yet.",
  unknown: "A tester not on this phone",
  nothingOf: "No trial of this tester has been pooled on this scale yet.",
  notHere: "There is no such tester on this phone.",

  tester: "Tester",
  level: "Level",
  steady: "Steadiness",
  moved: "Drift",
  check: "Check stones",
  figures: (severity: number): string => (severity > 0.005 ? `${severity.toFixed(2)} below` : severity < -0.005 ? `${(-severity).toFixed(2)} above` : "0.00"),
  lean: { severe: "more severe", mild: "milder", level: "as the panel", unknown: "not known yet" },
  sigma: (sigma: number, weight: number): string => `scatters by ${sigma.toFixed(2)}, counts ${weight.toFixed(1)}×`,
  drift: { too_few: "too few trials to tell", steady: "stays", moved: "has moved" },
  record: (n: number, mean: number): string => `${many(n, "trial", "trials")}, ${mean > 0.005 || mean < -0.005 ? `${side(mean)} the agreed grade` : "the same as agreed"} on the average`,
  noRecord: "none tried",
  trials: (n: number): string => many(n, "trial", "trials"),
  open: (name: string): string => `How ${name} grades`,
  wantsCheck: "A check stone would settle whether it moved.",
  ruler: (name: string, severity: number, low: number, high: number): string =>
    `${name} grades ${against(severity)}, 90\u00a0% between ${against(low)} and ${against(high)}`,

  levelTitle: "Level against the panel",
  levelIs: {
    severe: "More severe than the panel: the interval leaves the panel's level out.",
    mild: "Milder than the panel: the interval leaves the panel's level out.",
    level: "As the panel.",
    unknown: "The interval is too wide to say on which side of the panel.",
  },
  levelFigures: (severity: number, low: number, high: number, n: number): string =>
    `Of the same stone ${against(severity)}; 90\u00a0% between ${against(low)} and ${against(high)}, by ${many(n, "trial", "trials")}.`,
  lower: "lower than the panel",
  higher: "higher",
  corrected: "The pooled grades are corrected for it. What counts is that it stays.",

  steadyTitle: "Steadiness",
  steadyIs: { steadier: "Steadier than most here.", alike: "About as steady as the others.", less: "Scatters more than most here." },
  steadyFigures: (sigma: number, low: number, high: number): string =>
    `Single grades scatter by ${sigma.toFixed(2)} around the own level; 90\u00a0% between ${low.toFixed(2)} and ${high.toFixed(2)}.`,
  weight: (weight: number): string => `A trial counts ${weight.toFixed(2)} times an average one.`,
  sigmaRuler: (sigma: number, low: number, high: number): string => `Scatter ${sigma.toFixed(2)}, 90\u00a0% between ${low.toFixed(2)} and ${high.toFixed(2)}`,
  tight: "steadier",
  loose: "scatters more",
  noted: (note: string): string => `Noted: ${note}.`,

  movedTitle: "Has the level moved?",
  movedIs: {
    too_few: (n: number): string => `${many(n, "trial is", "trials are")} too few to tell. Six make a start.`,
    steady: (n: number): string => `No. Over ${many(n, "trial", "trials")} the level has stayed.`,
    moved: "Yes. The last grades lie off the usual level.",
    movedBy: (by: number, since: string): string => `Yes. Since ${since} the grades lie ${Math.abs(by).toFixed(2)} ${by < 0 ? "lower" : "higher"} than before.`,
  },
  onCheck: { too_few: "On check stones: too few trials to tell.", steady: "On check stones it has stayed.", moved: "On check stones it has moved." },
  chart: (n: number): string => `The level over ${n} trials, with its limits. The table below says the same in figures.`,
  chartHint: "Line: grades against what was expected, smoothed over about ten trials. Band: where a steady tester stays.",
  milder: "milder than usual",
  severer: "more severe",
  chartTable: "The chart as a table",
  chartHead: { when: "Trial", stone: "Stone", z: "Level", limits: "Limits" },
  noStone: "not on this phone",

  checkTitle: "Check-stone record",
  checkIs: {
    too_few: "Too few trials of check stones to say where the level lies: six, of two stones or more, make a start.",
    below: "On the whole below the agreed grades.",
    level: "On the whole at the agreed grades.",
    above: "On the whole above the agreed grades.",
  },
  checkNone: "No check stone tried yet. Ask for one, and the level stands on more than the panel's own average.",
  checkHint: "The agreed grade stands for all reference steels, so a difference holds what the steel does too.",
  checkHead: { when: "Day", stone: "Stone", steel: "Steel", reported: "Given", agreed: "Agreed", difference: "Difference" },
  agreed: (grade: number, sd: number): string => `${grade.toFixed(2)} ± ${(1.645 * sd).toFixed(2)}`,
  difference: (value: number): string => (value > 0.005 ? `+${value.toFixed(2)}` : value < -0.005 ? `−${(-value).toFixed(2)}` : "0.00"),
  secret: "Do not show this table to the tester: who knows the agreed grades can no longer be calibrated by them.",
};

/** On the pooled grades. */
export const testersLink = "Testers";
