export { step } from './dialogue.ts';
export { type DialogueMessages, dialogueMessages } from './messages.ts';
export { promptText, questionText, readBackText } from './phrase.ts';
export { closesByGoingOn } from './recording.ts';
export {
  type Asked,
  contextOf,
  type Dialogue,
  type DialogueEvent,
  type Effect,
  type RecordsAct,
  type SaidAs,
  type Step,
  type Strictness,
  start,
} from './state.ts';
