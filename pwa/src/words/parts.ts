/** What the shared pieces say. Screens keep their own sentences beside this file. */

const steps = (step: number): string => (step === 0.5 ? "half a step" : `${step}`);

export const ruler = {
  notSet: "not set yet",
  tapToSet: "tap the scale",
  between: "between",
  and: "and",
  pooled: (scale: string, grade: number, low: number, high: number): string =>
    `${scale.replace(/_/g, " ")} ${grade.toFixed(1)}, 90 % interval from ${low.toFixed(1)} to ${high.toFixed(1)}`,
  own: (scale: string, grade: number): string => `${scale}: you set ${grade}`,
  allLevels: "All levels in words",
  fewerLevels: "Hide the levels",
  lower: (step: number, name: string): string => `${name}: ${steps(step)} lower`,
  higher: (step: number, name: string): string => `${name}: ${steps(step)} higher`,
};

export const face = {
  padLabel: (points: number | null): string =>
    points === null
      ? "The stone's face with its findings"
      : `Trace on the face, ${points} ${points === 1 ? "point" : "points"} set. Arrows move, Enter sets a point, Backspace takes one back.`,
  crossAt: (x: number, y: number): string => `${x} mm along, ${y} mm across`,
  pickOrAdd: "Tap a finding to open it, or add one below.",
  tapSpot: "Tap where it sits.",
  moveSpot: "Tap again or drag to move it.",
  tapStart: "Tap where it starts.",
  tapAlong: "Tap along it, as far as it runs.",
  tapMore: "Tap on, or drag a point to move it. A filled point is at the edge.",
};

export const fields = {
  atLeast: (low: number): string => `Enter ${low} or more.`,
  atMost: (high: number): string => `Enter ${high} or less.`,
  wholeNumber: "Enter a whole number.",
  aNumber: "Enter a number, for instance 4.5, or empty the box.",
};

export const timing = {
  again: "Measure again",
  startTimer: "Start the time",
  resetTimer: "Set back",
  running: "Keep working.",
  timeUp: "Time is up.",
  workFor: (clock: string): string => `Work for ${clock}.`,
  ofTarget: (target: number, name: string): string => `of ${target} ${name}`,
  knock: "Knock anywhere here at each stroke",
  enough: "Enough. Go on when you are ready.",
  oneBack: "One back",
  fromZero: "From zero",
};

export const grit = {
  unset: "tap two grits",
  twoTaps: "Tap the coarsest, then the finest that it could pass for.",
  otherSystem: "Another grit system",
  system: "Grit system",
  systems: [
    { value: "jis", words: "JIS #" },
    { value: "fepa_f", words: "FEPA F" },
    { value: "fepa_p", words: "FEPA P" },
  ] as const,
};

export const state = {
  draft: "draft",
  waiting: "waiting",
  sent: "sent",
  needs_you: "needs you",
};

const plain = (key: string): string => key.replace(/_/g, " ");
const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const verdict = {
  named: (key: string): string => sentence(plain(key)),
  finding: (n: number): string => `finding ${n}`,
  caution: "Take care.",
  asAbove: "The caution above holds here too.",
  urgency: {
    none: "Nothing to do",
    watch: "Keep an eye on it",
    soon: "Do it soon",
    before_use: "Do it before the stone is used",
    reject: "Set the stone aside",
  },
};

export const yesNo = { yes: "Yes", no: "No" };

export const scanner = {
  title: "Scan a label",
  picture: "The camera's picture",
  hold: "Hold the label's square code in the picture.",
  close: "Close the camera",
  notAllowed: "The camera may not be used. Allow it in the browser's settings for this page, or type the code.",
  noCamera: "No camera could be opened. Type the code instead.",
};

export const asTable = { open: "As a table" };
