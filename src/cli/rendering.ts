import {
  type Rendering,
  renderScript,
  type Script,
  speaker,
} from '../../demo-audio-scripts/index.ts';
import { fliteInNode } from '../voice/flite/node.ts';
import type { FliteVoice } from '../voice/index.ts';

const flite = fliteInNode();

/** A demo exam as sound, spoken by an embedded voice. */
export const renderedExam = (script: Script, voice: FliteVoice): Promise<Rendering> =>
  renderScript(script, speaker(flite, { voice }));
