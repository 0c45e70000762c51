/** The plan of trials: who tries what next, and why. */
const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const plan = {
  title: "Plan trials",
  back: "Pooled grades",
  backToStone: (code: string): string => `Publish ${code}`,
  bench: "Bench",
  lead: "Which trials would teach most: who, which stone, with which steel.",
  reading: "Reading the club…",
  notForYou: "Trials are planned by dealers and stewards.",
  noPurpose: "No protocol on this phone yet. Go on line once.",
  purpose: "Purpose",
  onlyOne: (code: string): string => `For ${code} alone.`,
  all: "Plan for all stones",

  n: "How many trials",
  testers: (taking: number, all: number): string => (taking === all ? `All ${all} testers take part` : `${taking} of ${many(all, "tester", "testers")} take part`),
  noTesters: "Nobody in this club is a tester yet.",
  each: "Most trials each",
  takesPart: "Takes part",
  takes: (name: string): string => `${name} takes part`,
  most: (name: string): string => `Most trials for ${name}`,
  mostShort: "Most trials",
  nobody: "Let somebody take part.",
  propose: "Propose",
  again: "Propose again",
  asking: "Weighing every trial that could be done…",
  trouble: {
    no_network: "Planning needs the service, and there is no signal just now.",
    signed_out: "Planning needs the service. Sign in, then ask again.",
    not_allowed: "The service does not let you plan.",
    trouble: "The service could not plan just now. Ask again in a moment.",
  } as Readonly<Record<string, string>>,
  signIn: "Sign in",
  none: "No plan on this phone yet.",

  planned: (age: string): string => `Planned ${age}.`,
  nothing: "Nothing to propose: every stone is known well enough, or nobody who takes part can add to it.",
  nothingPooled: "There is nothing to plan from yet: a few trials by two testers make a beginning.",
  fewer: (got: number, asked: number): string => `${many(got, "trial", "trials")}, not ${asked}: more are not needed, or nobody is free for them.`,
  count: (n: number): string => many(n, "trial", "trials"),
  someTester: "A tester not on this phone",
  noStone: "stone not on this phone",
  gain: (before: string, after: string): string => `from ±${before} to ±${after}`,
  enough: "narrow enough then",
  blades: (names: readonly string[]): string => names.join(" or "),
  copy: "Copy as text",
  copied: "Copied",
  copyHere: "Copy it from here:",
  print: "Print",

  why: "Why this order",
  whyScale: (scale: string, target: string): string =>
    `The club publishes at ±${target} or better. Most stones still miss that on ${scale.toLowerCase()}, so that is what the plan narrows.`,
  whyOrder: "The number is a trial's place in the whole plan. The first is the one trial that brings the club nearest to stones it can publish; each next one counts with those before it done. A steady tester, a steel the stone has not met, and a stone that others can be compared through all add to what a trial teaches. If time is short, do the low numbers.",
  whyNot: "± is half the 90 % interval of the stone's grade. It is expected, not promised: the grades themselves decide.",

  textHead: (purpose: string, day: string): string => `Trials to do, ${purpose.toLowerCase()}, planned on ${day}`,
};

/** The link on the pooled grades. */
export const planLink = "Plan the next trials";
