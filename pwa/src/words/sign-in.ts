/** What the sign-in screen says. */

export const signIn = {
  title: "Sign in",
  to: (club: string): string => `to ${club}`,
  promise: "After this, the app works without a signal.",
  again: (name: string): string => `${name}, sign in again. What waits on this phone is kept and goes out after.`,
  othersWait: (name: string, n: number): string =>
    `${n === 1 ? "1 record" : `${n} records`} of ${name} wait here. They stay until ${name} signs in again; nobody else sends them.`,
  demo: "This is an invented club for trying things out.",
  club: "Club",
  clubHelp: "The short name in your invitation.",
  name: "Sign-in name",
  password: "Password",
  show: "Show",
  hide: "Hide",
  go: "Sign in",
  going: "Signing in …",
  toBench: "Back to the bench",
  needName: "Type your sign-in name.",
  needPassword: "Type your password.",
  wrong: "Name and password do not fit together. Check both and try again.",
  unreachable: "The service cannot be reached. Find a signal, then try again.",
  troubled: "The service has trouble just now. Try again in a minute.",
  tooMany: (minutes: number): string =>
    minutes <= 1 ? "Too many tries. Wait a minute, then try again." : `Too many tries. Wait ${minutes} minutes, then try again.`,
};
