/** The practice trial: the same screens, an invented stone, nothing sent. */

const many = (n: number, one: string, more: string): string => (n === 1 ? `1 ${one}` : `${n} ${more}`);

export const practice = {
  stone: "the practice stone",
  blades: { knife: "Practice knife", razor: "Practice razor", plane_iron: "Practice iron" },
  reading: "Laying out the practice stone…",
  mark: "Practice",
  invented: "Stone and blade are invented. Nothing you set here is sent.",
  home: "First trial",
  finish: "Finish the practice",

  tips: {
    setup: "Choose as you would at the bench; nothing is chosen for you.",
    read: "Read, do it, and go on with the big button. Back is always there, and you may leave and come back days later.",
    count: "Knock on the large field with a knuckle, once for each stroke. Three will do for practice.",
    time: "Tap when the drop is set, tap again when its shine is gone. Or type the seconds.",
    choose: "Tap what comes nearest. Only what says “needed” has to be set; a photo is welcome, never asked for.",
    grade: "Tap the ruler, or slide along it; the level's own words appear. Half steps lie between. Until you tap, there is no grade.",
    review: "All you have set stands here. Tap a line to change it.",
  },

  done: "That was a whole trial",
  nothingSent: "It was practice: nothing has left this phone, and no stone has a grade from it.",
  would: "This would have gone to your club",
  took: (answers: number, grades: number, photos: number): string =>
    [many(grades, "grade", "grades"), many(answers, "observation", "observations"), photos === 0 ? null : many(photos, "photo", "photos")]
      .filter((part) => part !== null).join(", ").concat("."),
  next: "What happens to a real one",
  steps: [
    "It waits on your phone and goes to the club by itself when there is a signal.",
    "There it counts together with the trials of others, by how steady you have proved to be.",
    "Then you see the stone's panel, and under “How I grade” where your grade stands.",
  ],
  again: "Practise once more",
  real: (code: string): string => `Start for real: ${code}`,
  inspect: (code: string): string => `Start for real: inspect ${code}`,
  bench: "To the bench",
};
