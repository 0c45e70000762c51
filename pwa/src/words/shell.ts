/** What the frame around the screens says. */

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const shell = {
  places: "Places",
  bench: "Bench",
  stones: "Stones",
  pooled: "Pooled",
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
  failed: "Something went wrong on this screen. What you saved is safe.",
  reload: "Reload",
};

export const notHere = {
  title: "Nothing here",
  say: "This address leads nowhere. Go back to your bench.",
  bench: "To the bench",
};
