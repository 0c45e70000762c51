/** Is the stone sound? The same answers as the service gives, also without a signal. */

export { assess, TAKES_FACE } from "./assess";
export type { Assessment } from "./assess";
export { ciede2000, lab, lightness, mudShade } from "./colour";
export type { MudShade, Triple } from "./colour";
export type { Fact, Facts, FindingValues, History, InspectionValues, StoneShape } from "./facts";
export { measureFlatness } from "./flatness";
export type { Flatness, FlatnessShape, Form } from "./flatness";
export { dip, faceFromCorners, measureTrace, place, toFace, traceLength } from "./geometry";
export type { PhotoMap, Piece, Reach, Trace } from "./geometry";
export { equivalentBand, grain, GRIT_SYSTEMS, gritBand } from "./grit";
export type { EquivalentBand, Grain, GritSystem } from "./grit";
export { heightPicture } from "./heights";
export type { HeightPicture } from "./heights";
export { gritSteps, planLapping } from "./lapping";
export type { GritStep, LappingPlan } from "./lapping";
export { capillarity, specimenLimits, uptakeClass } from "./physical";
export { Refused } from "./refusal";
export type { FieldFault } from "./refusal";
export { strictest, URGENCIES, urgencyRank } from "./rules";
export { usableFace } from "./usable";
export type { Obstacle, UsableFace } from "./usable";
export { fitRate, strokesFor } from "./wear";
export type { Lapping, LappingRate, Manner, Strokes } from "./wear";
