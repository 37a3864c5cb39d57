export { step } from './dialogue.ts';
export { promptText, questionText, readBackText } from './phrase.ts';
export { closesByGoingOn } from './recording.ts';
export {
  type Asked,
  contextOf,
  type Dialogue,
  type DialogueEvent,
  type Effect,
  type RecordsAct,
  type Step,
  type Strictness,
  start,
} from './state.ts';
