/** What the screen about you and this phone says. */

import type { Role } from "../domain/records";

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

const roles: Readonly<Record<Role, string>> = { tester: "tester", dealer: "dealer", steward: "steward" };

export const me = {
  title: "Me",
  rolesOf: (mine: readonly Role[]): string => mine.map((role) => roles[role]).join(", "),
  mine: "How I grade",
  guide: "A first trial",
  protocols: "Protocols",
  club: "Members",
  at: (club: string): string => `at ${club}`,

  rules: "Rules of the club",
  work: "Work list",

  look: "Look",
  looks: { device: "As the phone", light: "Light", dark: "Dark", glare: "Glare" },
  lookHelp: "Glare is black on white with thick lines, for full sun.",

  naming: "Your name on slips",
  namingLead: "A slip says how many testers tried the stone, and names none.",
  namingYes: (name: string): string => `Name me, ${name}, on slips that rest on my trials`,
  namingMeans: "Whoever has a slip's code then reads your name on its page and in its PDF, with no account. Take it back whenever you like: your name leaves every page at once, also of slips issued before. Paper that was printed keeps it.",
  namingWaits: "Kept here; your name shows once this has gone out.",
  unnamingWaits: "Kept here; your name leaves the pages once this has gone out.",
  namingRefused: "The service did not take it.",

  phone: "This phone",
  used: (used: string, room: string): string => `Uses ${used} of ${room}.`,
  persisted: "The browser keeps it until you remove it.",
  notPersisted: "The browser may clear it when room runs short. Install the app to keep it safe.",
  unknownStorage: "The browser does not tell how much room there is.",
  full: "This phone is full. Save what waits to a file below, then free some room and sync.",

  photosSent: (n: number, room: string): string =>
    `${many(n, "photo", "photos")} taken here ${n === 1 ? "is" : "are"} on the service too (${room}). The oldest go by themselves when room runs short.`,
  photosNeeded: (n: number, room: string): string => `${many(n, "photo waits", "photos wait")} to go out or ${n === 1 ? "belongs" : "belong"} to a draft (${room}).`,
  photosGo: "Let the sent photos go",
  thumbs: (n: number, room: string, most: number): string =>
    `${many(n, "small photo", "small photos")} of the club's stones ${n === 1 ? "is" : "are"} here for an evening without a signal (${room}). At most ${most} stay; the one not looked at for the longest goes first.`,
  thumbsHow: "They come by themselves after a sync, first of the stones in your hands and those asked of you, but not over a line that is paid by the amount or set to save data.",
  thumbsGet: "Fetch them now",
  thumbsGetting: "Fetching…",
  thumbsGo: "Let the small photos go",
  thumbsDone: (n: number): string => (n === 0 ? "All of them are here." : `${many(n, "photo", "photos")} fetched. All of them are here.`),
  thumbsTrouble: (n: number, left: number): string =>
    `${n === 0 ? "None" : String(n)} fetched, ${left === 0 ? "the rest" : left} did not come. Try again with a better signal.`,
  thumbsNoRoom: "This phone has too little room left for them.",
  thumbsNobody: "Sign in to fetch them.",

  file: "What waits, as a file",
  fileHelp: "A copy of everything not yet on the service, photos too. Read it back here or on another phone; twice is harmless.",
  waits: (records: number, photos: number): string =>
    records + photos === 0
      ? "Nothing waits. Everything is on the service."
      : `${many(records, "record", "records")} and ${many(photos, "photo", "photos")} wait.`,
  save: "Save to a file",
  fileName: (day: string): string => `whetpanel-waiting-${day}.json`,
  readBack: "Read a file back",
  wasRead: (records: number, drafts: number, present: number): string => {
    const parts = [
      records > 0 ? `${many(records, "record", "records")} added` : null,
      drafts > 0 ? `${many(drafts, "draft", "drafts")} added` : null,
      present > 0 ? `${present} here already` : null,
    ].filter((part) => part !== null);
    return parts.length === 0 ? "The file was empty." : `${parts.join(", ")}.`;
  },
  belongTo: (names: readonly string[]): string =>
    `Some belong to ${names.join(" and ")}. They go out when ${names.length === 1 ? "that member signs" : "those members sign"} in here.`,

  aside: "Set aside",
  asideHelp: "Kept on this phone, not sent.",
  putBack: "Put back",

  signOut: "Sign out",
  signOutHelp: "The club's records leave this phone. What you have not sent stays.",
  sureTitle: (n: number): string => `${many(n, "record has", "records have")} not been sent`,
  sure: "They stay on this phone and go out when you sign in here again. Nobody else can send them. To be safe, save them to a file first.",
  sureGo: "Sign out all the same",
  sureStay: "Stay signed in",
  others: (name: string, n: number): string => `${many(n, "record", "records")} of ${name} wait on this phone for ${name} to sign in.`,
};
