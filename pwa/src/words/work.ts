/** What the work list says. */

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const work = {
  title: "Work",
  lead: "What the last inspections ask for, the most urgent first.",
  reading: "Reading the list…",
  whole: "All stones",
  of: (code: string): string => `Work on ${code}`,
  toStone: (code: string): string => `Stone ${code}`,
  back: "Bench",
  show: "Show",
  todo: (n: number): string => `To do (${n})`,
  doneList: (n: number): string => `Answered (${n})`,
  none: "Nothing is to be done.",
  noneHere: "Nothing is to be done to this stone.",
  noneDone: "No repair is on record yet.",
  local: "Worked out on this phone from an inspection that is not sent yet.",
  count: (n: number): string => many(n, "thing to do", "things to do"),
  countOf: (items: number, stones: number): string => `${many(items, "thing to do", "things to do")} on ${many(stones, "stone", "stones")}`,
  face: (face: string, code: string, n: number): string => `${face} of ${code} with ${many(n, "finding", "findings")}`,
  blocks: "Keeps the stone from being published.",
  again: "Inspect again",
  goOn: "Go on with it",

  done: "Done",
  notNeeded: "Not needed",
  when: "When",
  withWhat: "With what",
  withWhatHelp: "Glue, lacquer, point, plate, grit: whatever touched the stone.",
  before: "Before the work",
  after: "After the work",
  photo: (view: string): string => `Photo ${view}`,
  otherPhoto: "Another photo",
  removePhoto: "Take it off",
  photoFailed: (why: string): string => `The picture could not be kept. ${why}`,
  notes: "Notes",
  save: "Save as done",
  saving: "Saving…",
  cancel: "Later",
  drop: "Drop this form",
  failed: (why: string): string => `It could not be saved on this phone: ${why}`,
  notKept: (why: string): string => `This phone could not keep the last entry: ${why}`,

  notNeededLead: "It comes off the list undone. Say why: whoever opens the stone will read it.",
  reason: "Why is it not needed?",
  saveNotNeeded: "Take it off the list",
  reasonMissing: "Give a reason of a few words.",

  wasDone: "Done",
  wasNotNeeded: "Not needed",
  by: (name: string): string => `by ${name}`,
  unknownMember: "a member",
  finding: (n: number, kind: string): string => `Finding ${n}, ${kind.toLowerCase()}`,
  wholeFace: "The whole face",
};

export const workLink = {
  open: (n: number): string => many(n, "repair is open", "repairs are open"),
  openOn: (n: number, stones: number): string => `${many(n, "thing to do", "things to do")} on ${many(stones, "stone", "stones")}`,
  see: "See the work list",
  rules: "The rules behind it",
};
