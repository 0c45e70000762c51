/** The states a stone can be in for a member; screens/Stones/state.ts works them out. */
export type StoneStateWord = "needs_hand" | "to_inspect" | "not_tried" | "tried";
