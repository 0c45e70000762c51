/** What the frame around the screens says. */
export const shell = {
  places: "Places",
  bench: "Bench",
  stones: "Stones",
  protocols: "Protocols",
  me: "Me",
};

export const notHere = {
  title: "Nothing here",
  say: "This address leads nowhere. Go back to your bench.",
  bench: "To the bench",
};
