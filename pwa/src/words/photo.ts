/** What is said while working on a photo: corners, traces, patches of colour. */

const order = ["first", "second", "third", "fourth"];

export const photoTrace = {
  label: (mode: "corners" | "trace" | "look", points: number): string =>
    mode === "corners"
      ? `Photo of the face, ${points} of 4 corners set. Arrows move, Enter sets a corner, Backspace takes one back.`
      : mode === "trace"
        ? `Photo of the face, ${points} ${points === 1 ? "point" : "points"} set. Arrows move, Enter sets a point, Backspace takes one back.`
        : "Photo of the face with its findings",
  corner: (n: number): string =>
    n === 0
      ? "Tap the first corner of the face: the left end of its far long side."
      : n === 1
        ? "Tap the second corner: the other end of that long side."
        : `Tap the ${order[n] ?? "next"} corner, on round the face.`,
  refused: (why: string): string => `${why} Drag a corner to where it belongs, or set all four again.`,
  ready: "The corners give the scale. Drag one that is off. Then add a finding and trace it here.",
  turned: "The first side should lie along the length, but it looks like the short one.",
  turn: "Begin one corner further",
  again: "Set the corners again",
  off: "That is beside the face. Tap on the stone, or move the corners.",
  at: (x: number, y: number): string => `${x} mm along, ${y} mm across`,
  start: "Tap where it starts, on the photo.",
  along: "Tap along it, as far as it runs.",
  more: "Tap on, or drag a point to move it. A filled point is at the edge.",
  spot: "Tap where it sits. Give its size below.",
  moveSpot: "Tap again or drag to move it. Give its size below.",
  loading: "Opening the photo…",
  where: "Where do you trace?",
  onPhoto: "On the photo",
  onOutline: "On the outline",
};

export const mudShade = {
  open: "Let the camera suggest a shade",
  lead: "Spread the mud beside a white card, in even light and out of your shadow. Your own eye decides; this only suggests.",
  take: "Photograph mud and card",
  again: "Photograph them again",
  tapMud: "Tap the mud, where it is even.",
  tapCard: "Now tap the white card beside it.",
  move: "Drag a ring to another place.",
  label: (set: number): string => `Photo of mud and card, ${set} of 2 patches set. Arrows move, Enter sets a patch.`,
  mud: "mud",
  card: "card",
  read: (lightness: string, words: string): string => `Lightness ${lightness} of 100 against the card. By that it would be: ${words}.`,
  yours: (words: string | null): string => (words === null ? "You have not chosen a shade yet." : `You chose: ${words}.`),
  keeps: "The reading goes into the trial's notes, with the photo. It changes nothing you choose.",
  refused: (why: string): string => why,
  drop: "Leave the camera out",
  failed: (why: string): string => `The picture could not be used. ${why}`,
  note: (lightness: string, shade: number): string =>
    `Mud by camera: lightness ${lightness} of 100 against a white card, which suggests shade ${shade}.`,
};
