/** Trials that are asked of somebody, and who has which stone. */
import { day } from "./trade";

const daysUntil = (dueOn: string, today: string): number => Math.round((Date.parse(dueOn) - Date.parse(today)) / 86_400_000);

export const asked = {
  ofYou: "Asked of you",
  forWhat: (purpose: string, steel: string | null): string => (steel === null ? `${purpose}, a steel of your choice` : `${purpose}, ${steel}`),
  blades: (names: readonly string[]): string => names.join(" or "),
  noBlade: "the club has no blade of this steel",
  /** `today` as 2026-03-01, by this device's calendar. */
  due: (dueOn: string, today: string): string => {
    const days = daysUntil(dueOn, today);
    if (days < 0) return `was due on ${day(dueOn)}`;
    return days === 0 ? "due today" : days === 1 ? "due tomorrow" : `due on ${day(dueOn)}`;
  },
  needsHand: "Needs a hand first",
  try: "Try",
  more: (n: number): string => (n === 1 ? "1 more" : `${n} more`),

  inHands: "In your hands",
  since: (when: string): string => `since ${when}`,
  passOn: "Pass it on",
  withYou: "With you",
  withDealer: "With the dealer",
  with: (name: string): string => `With ${name}`,
  withSince: (name: string, when: string): string => `With ${name} since ${when}`,
  youSince: (when: string): string => `With you since ${when}`,
  dealerSince: (when: string): string => `With the dealer since ${when}`,
  somebody: "somebody no longer here",

  handOver: "Hand it over",
  handTitle: (code: string): string => `Hand over ${code}`,
  to: "To whom",
  choose: "Choose who gets it",
  toYou: (name: string): string => `${name} (you)`,
  backWithDealer: "Back with the dealer",
  save: "Hand over",
  cancel: "Not now",
  needsHolder: "Choose who gets it.",
  failed: (why: string): string => `It could not be kept on this phone: ${why}`,

  open: "Asked trials",
  openOne: (name: string, what: string): string => `${name}: ${what}`,
  withdraw: "Withdraw",
  withdrawHelp: "It leaves the tester's list, and stays readable with your reason.",

  ask: "Ask",
  askOne: (name: string, code: string): string => `Ask ${name} to try ${code}`,
  askAll: (n: number, left: number): string => (left < n ? `Ask for the other ${left}` : `Ask for all ${n}`),
  isAsked: "Asked",
  isDone: "Done",
  allAsked: "All asked",
  dueBy: "To be done by",
  dueHelp: "Goes with what you ask for; may stay empty.",
};
