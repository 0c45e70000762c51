/** What the frame around the screens says. */

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

const titles: readonly (readonly [start: string, title: string])[] = [
  ["/desk", "Desk"], ["/stones", "Stones"], ["/intake", "Take in stones"], ["/pooled", "Pooled grades"], ["/plan", "Plan trials"], ["/match", "Match"], ["/protocols", "Protocols"], ["/mine", "How I grade"], ["/me", "Me"], ["/guide", "A first trial"], ["/club", "Club"], ["/join", "Join a club"], ["/work", "Work"], ["/rules", "Rules"], ["/sign-in", "Sign in"],
];

export const shell = {
  titleOf: (path: string): string => {
    const place = path === "/" ? "Bench" : titles.find(([start]) => path.startsWith(start))?.[1];
    return place === undefined ? "Whetpanel" : `${place} · Whetpanel`;
  },
  places: "Places",
  bench: "Bench",
  stones: "Stones",
  work: "Work",
  desk: "Desk",
  pooled: "Grades",
  protocols: "Protocols",
  me: "Me",
  needsYou: (n: number): string => `${many(n, "record needs", "records need")} you`,
  signInAgain: (n: number): string =>
    n === 0 ? "You are signed out. Sign in to get news." : `Sign in again to send ${many(n, "record", "records")}.`,
  signIn: "Sign in",
  storageFull: "This phone is full. Save what waits to a file, then make room.",
  toMe: "Show me how",
  updateReady: "A new version is ready.",
  update: "Change over now",
  failedTitle: "This screen failed",
  failed: "What you saved is safe. Reload; if it fails again, tell your steward what you were doing.",
  reload: "Reload",
};

export const notHere = {
  title: "Nothing here",
  say: "This address leads nowhere. Go back to your bench.",
  bench: "To the bench",
};

/** The local store cannot be opened at all. */
export const noStore = {
  title: "Nothing can be kept here",
  say: "This browser does not let the app keep anything, so a trial would be lost. Leave private browsing, or allow this page to store data, then reload.",
};
