export { firstThatSpeaks } from './choice.ts';
export { type FliteWorker, fliteInWorker } from './flite/client.ts';
export {
  createFlite,
  type Flite,
  type FliteVoice,
  fliteVoices,
  type Manner,
  type Speech,
} from './flite/flite.ts';
export { pronunciations } from './flite/pronunciations.ts';
export type { Answer, Ask } from './flite/protocol.ts';
export { audioOutput, type Output } from './output.ts';
export { silentVoice } from './silent.ts';
export { type RenderedVoice, renderedVoice, sentences } from './spoken.ts';
export { type SystemManner, systemVoice } from './system.ts';
