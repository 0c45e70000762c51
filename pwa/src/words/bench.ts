/** What the bench says: what to do next, what waits, what needs you. */

import type { Thing } from "../domain/records";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

const things: Readonly<Record<Thing, string>> = {
  club: "Club settings", member: "Member", lot: "Lot", stone: "Stone", blade: "Blade", protocol: "Protocol",
  rule_set: "Rules", inspection: "Inspection", trial: "Trial", repair: "Repair",
  lapping: "Lapping", check_stone: "Check stone", assignment: "Asked trial", hand_over: "Hand-over", slip: "Slip", photo: "Photo",
  offer: "Price and sale", consent: "Your consent", shortlist: "Shortlist",
};

const drafts: Readonly<Record<string, string>> = {
  trial: "Trial", inspection: "Inspection", repair: "Repair", lapping: "Lapping", rule_set: "Change of the rules", intake: "Stones to take in",
  practice: "Practice trial", stone: "Change", match: "A buyer's wish",
};

export const bench = {
  title: "Bench",
  invented: "Invented club",
  fresh: (age: string): string => `Copy from ${age}.`,
  never: "Nothing fetched yet.",
  syncing: "Fetching …",
  syncNow: "Sync now",
  noSignal: "No signal. Everything is kept here and goes out later.",
  serverTrouble: (until: string | null): string =>
    until === null ? "The service has trouble. It is tried again by itself." : `The service asks to wait until ${until}.`,

  codeLabel: "Stone code",
  codeHint: "as on the label",
  codeGo: "Open",
  scan: "Scan a label",
  scanFailed: "The camera could not be made ready. Type the code, or try again with a signal.",
  labelOther: "This code is not a stone's. Hold the label of a stone into the picture.",
  labelUnknown: "The stone on this label is not on this phone. Sync first; it may be another club's.",
  codeUnknown: (code: string): string => `No stone ${code} on this phone. Check the code, or sync first.`,

  goOn: "Go on with",
  draft: (kind: string): string => drafts[kind] ?? "Form",
  of: (kind: string, code: string): string => `${bench.draft(kind)} of ${code}`,
  begun: (age: string): string => `last touched ${age}`,

  practise: "Practise on an invented stone",
  practiseLead: "New here? Practise a whole trial on an invented stone first. Nothing of it is sent.",

  next: "Try next",
  looking: "Looking through the stones …",
  nextMore: "All stones",
  nothingNext: "You have tried every stone that is fit to try. Well done.",
  noStones: "No stones here yet. They come with the first sync.",
  why: {
    not_tried: "not tried by you yet",
    inspect_first: "look it over first",
    confirm: "thinner than at your last trial: confirm",
  },
  start: { trial: "Try", inspect: "Inspect" },
  toDo: (n: number): string => many(n, "stone waits for your trial", "stones wait for your trial"),

  waiting: (n: number, photos: number): string => {
    const parts = [n > 0 ? many(n, "record", "records") : null, photos > 0 ? many(photos, "photo", "photos") : null];
    return `Waiting to go out: ${parts.filter((part) => part !== null).join(" and ")}`;
  },
  waitingMore: (n: number): string => `and ${many(n, "more record", "more records")}, which go out after these.`,
  tries: (n: number): string => (n === 0 ? "" : `tried ${many(n, "time", "times")}`),
  savedAt: (time: string): string => `saved ${time}`,

  needsYou: (n: number): string => `${many(n, "record needs", "records need")} you`,
  thing: (thing: Thing, code: string | null): string => (code === null ? things[thing] : `${things[thing]} of ${code}`),
  acts: {
    put: "", photo: "", withdraw: "Withdrawal: ", exclude: "Leaving out: ", include: "Taking back in: ",
  },
};

/** Why a record needs its writer. The service's own sentence follows where it has one. */
export const problems: Readonly<Record<string, string>> = {
  precondition_failed: "Somebody changed this record while yours waited. Compare, then choose.",
  precondition_missing: "The service holds another version of this record. Compare, then choose.",
  invalid: "The service cannot take it as it is. Change it, then send it again.",
  malformed: "The service could not read it. Update the app, then send it again.",
  not_allowed: "You may not write this. Ask your steward, or set it aside.",
  blind: "You may not write this before your own trial is in.",
  not_found: "Something it belongs to is not on the service.",
  not_ready: "It was not published.",
  conflict: "It does not go together with what the service holds.",
  too_large: "It is too large. Take a smaller photo.",
  unsupported_media: "The service takes JPEG, PNG or WebP only.",
  photo_lost: "The photo is no longer on this phone. Take it again.",
};
export const problemElse = "The service did not take it.";

export const choose = {
  edit: "Change it",
  open: "Open",
  again: "Send again",
  keepMine: "Keep mine",
  takeTheirs: "Take theirs",
  aside: "Set aside",
  mine: "Yours",
  theirs: "Theirs",
  elsewhere: "Your other device",
  by: (name: string): string => `Theirs (${name})`,
  nothing: "nothing",
  more: (n: number): string => `and ${many(n, "more difference", "more differences")}`,
  asideHelp: "Set aside means: kept on this phone, not sent. You find it under Me.",
};
