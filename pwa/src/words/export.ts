/** Taking the club's records away. */

const dayOf = (now: Date): string => now.toISOString().slice(0, 10);

export const exporting = {
  title: "Export",
  back: "Desk",
  backBench: "Bench",
  reading: "Reading…",
  notForYou: "Dealers and stewards take the club's records away: they hold every tester's grades.",

  tables: "Records and grades as tables",
  tablesLead: "One file with everything you may see, in open formats that other programs read. Use it for your own sums, for another program, or as a copy that outlives this one.",
  tablesHold: [
    "stones, inspections, repairs, trials, slips, offers: every record, also the withdrawn ones, as CSV and as JSON",
    "the pooled grades with each tester's severity and each trial's residual, computed afresh from these records",
    "what each column means and in which unit, for people (DICTIONARY.md) and for programs (datapackage.json)",
  ],
  tablesMind: "It names your members and says what your stones cost. Keep it as you keep the club's books.",
  getTables: "Download the tables",
  tablesFile: (slug: string, now: Date): string => `${slug}-tables-${dayOf(now)}.zip`,
  tablesHow: "How to read them elsewhere",
  tablesSteps: [
    "Unpack the file and open DICTIONARY.md first.",
    "In a spreadsheet, import the CSV files with commas, UTF-8, and every column of text as text. Text stands as a member wrote it, and a spreadsheet may take a note that begins with = for a formula.",
    "Programs that know the open standard Data Package read datapackage.json, with types, keys and references between tables.",
    "Photos are named there, not packed in. They come with the whole club.",
  ],

  bundle: "The whole club",
  bundleForSteward: "Your steward can also download the whole club with its photos, to move it or to keep it safe.",
  bundleLead: "Every state of every record, the photos, and everybody's sign-in, in one file: to move the club to another service, or to keep it safe.",
  bundleMind: "With this file somebody could try to guess your members' passwords. Keep it where nobody else comes, and never send it by mail.",
  password: "Your password once more",
  needsPassword: "Give your password.",
  getBundle: "Download the whole club",
  bundleFile: (slug: string, now: Date): string => `${slug}-whole-club-${dayOf(now)}.zip`,
  bundleHow: "How to bring it into another service",
  bundleInto: "On the machine of the other service, which must not have the club yet:",
  bundleCommand: "whetpanel import-club FILE.zip",
  bundleThen: "Members sign in there as before. Records, photos, slips and their codes are the same.",

  making: "Making the file…",
  makingLong: "The grades are pooled afresh. A large club takes a minute or two; leave this page open.",
  saved: (size: string): string => `Saved, ${size}. Look among your downloads.`,
  size: (bytes: number): string => (bytes >= 1e6 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.max(1, Math.round(bytes / 1e3))} kB`),
  trouble: {
    no_network: "This needs a signal. Find one, then try again.",
    signed_out: "You are signed out. Sign in again first.",
    not_allowed: "",
    not_found: "The service does not know it.",
    blind: "The service does not show this to you.",
    trouble: "The service could not make the file.",
  } as Readonly<Record<string, string>>,
};
