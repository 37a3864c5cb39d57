export { type Alike, parseAlike } from './alike.ts';
export {
  advantageOf,
  type Calibration,
  type Certainty,
  type Curve,
  certaintyOf,
  type Evidence,
  type Plane,
  scores,
  scoresOn,
} from './certainty.ts';
export { type Completed, complete, type Missing } from './completion.ts';
export { type Draft, draftOf, emptyDraft, type SpokenSide } from './draft.ts';
export {
  type Command,
  type Context,
  commands,
  corrects,
  type Expectation,
  type Interpretation,
  interpret,
  isGrave,
  type Question,
  ruleFor,
  uncalled,
  understoodWords,
} from './interpretation.ts';
export { createLanguage, type Language } from './language.ts';
export { mayHaveLost } from './loss.ts';
export { rivals, type Slot, slotsOf } from './rival.ts';
