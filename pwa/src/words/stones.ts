import type { StoneStateWord } from "./stone-states";

export const stones = {
  title: "Stones",
  takeIn: "Take in stones",
  search: "Search code, kind or lot",
  lot: "Lot",
  everyLot: "Any lot",
  state: "State",
  everyState: "Any state",
  gradesFor: "Grades for",
  noGrades: "No grades",
  states: {
    needs_hand: "Needs a hand",
    to_inspect: "To inspect",
    not_tried: "Not tried by you",
    tried: "Tried by you",
  } satisfies Record<StoneStateWord, string>,
  tried: (n: number): string => (n === 1 ? "tried by you" : `tried by you, ${n} blades`),
  count: (shown: number, all: number): string =>
    shown === all ? `${all} ${all === 1 ? "stone" : "stones"}` : `${shown} of ${all} stones`,
  none: "No stones on this phone yet. Go on line once, so that they can come.",
  noneFits: "No stone fits. Clear the search or choose another state.",
  clear: "Show all",
  reading: "Reading your stones…",
  ungraded: "no grade yet",
  needs: (verdict: string): string => verdict.replace(/_/g, " "),
};
