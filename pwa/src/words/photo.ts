export const photo = {
  keeping: "Keeping it…",
  takeOff: "Take it off",
  failed: "The picture could not be kept.",
  mud: {
    take: "Photograph the mud",
    again: "Photograph the mud again",
    how: "On the white paper, beside the drop from the clean stone, in even light.",
  },
  finish: {
    take: "Photograph the finish",
    again: "Photograph the finish again",
    how: "One lamp at a low angle, the scratch pattern sharp.",
  },
  face: {
    take: "Photograph this face",
    again: "Photograph it again",
    how: "Fill the picture with the face, its length across. The outline is drawn over it.",
  },
};
