/** The first run: what a trial is, in five short pages. */
export const guide = {
  title: "A first trial",
  reading: "One moment…",
  pageOf: (n: number, all: number): string => `${n} of ${all}`,
  back: "Back",
  next: "Next",
  leave: "To the bench",

  trial: {
    title: "One stone, one blade, you",
    drawing: "A blade lies across the face of a whetstone.",
    text: [
      "A trial is you working one blade on one stone, the same way everybody in the club does it, and writing down what you saw.",
      "The protocol leads you step by step; most of the time goes into the strokes.",
      "You grade blind: what others gave a stone stays hidden until your own trial of it is in.",
    ],
  },
  wet: {
    title: "Keep it wet",
    drawing: "A drop falls on a stone whose face carries a film of water and mud.",
    text: [
      "Water holds the dust down. And it tells you about the stone: how fast a drop vanishes, when the mud comes, how dark it gets.",
    ],
    fallback: "Whetstones hold silica, and dried mud is silica dust. Work wet, wipe mud up before it dries, never grind or sweep a stone dry. Follow your local rules for dust.",
  },
  blade: {
    title: "The same blade for every stone",
    drawing: "A bevel under a loupe: all its scratches run one way.",
    text: [
      "Before each trial the bevel gets the same scratch pattern, so that what you see afterwards comes from this stone and not from the last one.",
      "Scratches one way over the whole width, burr off, wiped. Then look through the loupe.",
    ],
    fallback: "The edge is sharp all through the trial. Fix the stone so that it cannot slide, keep your fingers behind the edge, and lay the blade down before you reach for anything.",
  },
  ruler: {
    title: "Grades by the ruler",
    text: "Tap the scale where the stone stands for you. The level's own words appear; half steps are welcome where two levels both fit. Try it, nothing is kept here.",
    which: "Scale",
    none: "The scales come with your club's protocol. Go on line once.",
  },
  signal: {
    title: "No signal? Go on",
    drawing: "Three records lie on a phone; the line to the club is broken and joins again.",
    text: "Everything is kept on this phone the moment you set it, and goes to the club by itself when there is a signal. A sign beside each record says how it stands:",
    signs: {
      draft: "half typed; go on where you left off, also days later",
      waiting: "saved here, goes out by itself",
      sent: "with the club",
      needs_you: "the club could not take it as it is; your bench says why",
    },
    ready: "You are ready. Your first stone:",
    inspectFirst: "Nobody has looked it over yet, so begin with that.",
    tryIt: (code: string): string => `Try ${code}`,
    inspectIt: (code: string): string => `Inspect ${code}`,
    noStone: "The stones come with the first sync. Your bench shows the first one to try.",
  },
};
