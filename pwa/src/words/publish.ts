/** Publishing a stone's grades: readiness, slips, what became of them. */
const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const publish = {
  reading: "Reading the stone…",
  back: (code: string): string => `Stone ${code}`,
  title: (code: string): string => `Publish ${code}`,
  notForYou: "Grades are published by dealers and stewards.",
  noStone: "This stone is not on this phone. Go on line once, so that it can come.",
  noPurpose: "No protocol on this phone yet. Go on line once.",
  purpose: "Purpose",

  gradesNow: "The grades now",
  anewTitle: "The grades now, to publish anew",
  evidence: (trials: number, testers: number, steels: number): string =>
    `${many(trials, "trial", "trials")} by ${many(testers, "tester", "testers")} on ${many(steels, "steel", "steels")}`,
  interval: (low: string, high: string): string => `90 % between ${low} and ${high}`,
  asking: "Asking the service whether it is ready…",
  trouble: {
    no_network: "No signal just now. Whether a stone is ready only the service can tell, with every trial in.",
    signed_out: "You are signed out. Sign in to see whether it is ready.",
    not_allowed: "The service does not let you publish.",
    not_found: "The service does not know this stone yet. Sync, then ask again.",
    trouble: "The service could not tell just now.",
  } as Readonly<Record<string, string>>,
  signIn: "Sign in",
  again: "Ask again",
  ready: "Ready to publish",
  readyLead: "It meets the club's rules: enough testers and steels, intervals narrow enough, no repair that keeps it back.",
  inTheWay: (n: number): string => `${many(n, "thing stands", "things stand")} in the way`,
  byTrials: "More trials mend this:",
  toPlan: "Plan these trials",
  byWork: "Work on the stone mends this:",
  toWork: "To the work list",

  publish: "Publish",
  publishAnew: "Publish anew",
  fixed: "A slip is fixed with its evidence on the day it is issued, and gets a code that a buyer can check. It never changes; you can withdraw it and issue another.",
  addNotes: "Add notes for the club",
  notes: "Notes for the club",
  notesHelp: "Only dealers and stewards read them, here and in exports. They are on no slip and no public page.",
  withReason: "Publish with a reason",
  reason: "Why publish it all the same?",
  reasonHelp: "Buyers read this on the slip.",
  needsReason: "Give a reason; a few words will do.",
  untried: "A stone nobody has tried has no grade to publish.",
  later: "Not now",
  saving: "Saving…",
  failed: (why: string): string => `It could not be saved on this phone: ${why}`,

  waiting: "On its way to the service",
  waitingLead: "It is kept on this phone and goes out as soon as there is a signal. The service checks the stone once more, then issues the code.",
  waitingReason: (reason: string): string => `With the reason: ${reason}`,
  refused: "The service did not publish it",
  retry: "Send it again",
  drop: "Do not publish it",

  code: "Code",
  issued: (day: string): string => `Published on ${day}`,
  page: "Open the public page",
  pageHelp: "Anybody with the code can read it, without an account. It names only testers who agreed to it.",
  pdf: { a4: "PDF, A4", letter: "PDF, Letter" },
  asPublished: "As published",
  fixedStone: (face: string, thickness: string): string => `Graded on the ${face.toLowerCase()}, at ${thickness} thick`,
  steels: (steels: readonly string[]): string => `Steels: ${steels.join("; ")}`,
  inspected: (day: string): string => `Face inspected on ${day}.`,
  neverInspected: "The slip says that nobody had inspected this face.",
  testers: (names: readonly string[]): string => `Tried by ${names.join(", ")}.`,
  named: (names: readonly string[]): string =>
    names.length === 0 ? "None of them has agreed to be named on slips." : `The public page names ${names.join(", ")}.`,
  ownNotes: (notes: string): string => `Notes for the club: ${notes}`,
  overridden: (reason: string): string => `Published with a reason: ${reason}`,
  told: "What buyers are told of the stone",
  care: "Care and cautions on the slip",
  method: (version: string, revision: number): string => `Method ${version}, club revision ${revision}.`,
  movedTitle: "Issue it anew",
  moved: (scale: string, published: string, now: string): string => `${scale} was ${published}, is ${now} now.`,
  movedLead: "Later trials have moved it by a step or more. Publish it anew below; then withdraw this slip, so that its page says so.",

  withdraw: "Withdraw this slip",
  withdrawHelp: "Its page and code stay readable, and say that it is withdrawn, with your reason.",
  withdrawn: (day: string, reason: string): string => `Withdrawn on ${day}: ${reason}`,
  withdrawnWaits: "The withdrawal has not reached the service yet.",
  withdrawalRefused: "The service did not withdraw it.",

  earlier: "Earlier slips",
  states: {
    waiting: "waiting", refused: "refused", current: "current", followed: "a later slip stands", moved: "issue anew", withdrawn: "withdrawn",
  },
  seePage: "Public page",
};

/** The line on a stone's page. */
export const publishLine = {
  published: (day: string, code: string): string => `Published on ${day}, code ${code}`,
  moved: (what: string): string => `Issue it anew. ${what}`,
  waiting: "Published here, on its way to the service",
  refused: "Not published: the service did not take it",
  withdrawn: "The slip is withdrawn",
  ready: "Not published: ready",
  blocked: (n: number): string => `Not published: ${many(n, "thing stands", "things stand")} in the way`,
  none: "Not published",
  see: "See",
  publish: "Publish",
  why: "See why",
};

/** On the pooled grades. */
export const toReissue = {
  count: (n: number): string => `${many(n, "slip", "slips")} to issue anew`,
  lead: "Later trials have moved these grades by a step or more since they were published.",
};
