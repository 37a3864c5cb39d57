import { type WordNetwork, wordsOf } from '../../grammar/network.ts';
import {
  type Path,
  PortError,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import { type Fit, fitted } from './fit.ts';
import type { Transcriber, Transcript } from './transcriber.ts';

const samplesPerFrame = 160;

type Phase = 'idle' | 'hearing' | 'heard' | 'closed';

/**
 * A recogniser out of an engine of free words: each way the engine wrote the utterance down is
 * fitted into the grammar, and what fits best is what was heard.
 *
 * Scores: `best` less `anySpeech`, for each frame, is at most 1, where every word was written down as
 * the grammar has it, and below 0 where any other words would do as well. A sentence that was not
 * written down whole, or with words beside it, does not reach more than a half: a word that the
 * grammar lacks may be a "not".
 */
export function recogniserOf(transcriber: Transcriber): Recogniser {
  let phase: Phase = 'idle';
  let network: WordNetwork | undefined;
  let next: WordNetwork | undefined;
  let samples = 0;
  let transcripts: readonly Transcript[] = [];

  const mustBeOpen = (): void => {
    if (phase === 'closed') throw new PortError('closed', engineMessages.isClosed);
  };
  const mustHear = (): void => {
    mustBeOpen();
    if (phase !== 'hearing') throw new PortError('unsupported', engineMessages.notStarted);
  };
  const lay = async (now: WordNetwork): Promise<void> => {
    await transcriber.expect(wordsOf(now));
    network = now;
    next = undefined;
  };
  const frames = (): number => Math.floor(samples / samplesPerFrame);

  return {
    id: transcriber.id,
    async listenFor(wanted) {
      mustBeOpen();
      if (phase === 'hearing') next = wanted;
      else await lay(wanted);
    },
    async start() {
      mustBeOpen();
      if (phase === 'hearing') await transcriber.abort();
      if (next !== undefined) await lay(next);
      if (network === undefined) {
        throw new PortError('unsupported', engineMessages.nothingToHear);
      }
      samples = 0;
      transcripts = [];
      phase = 'idle';
      await transcriber.start();
      phase = 'hearing';
    },
    async feed(sound: Sound) {
      mustHear();
      samples += sound.length;
      return transcriber.feed(sound);
    },
    async finish(): Promise<Recognition> {
      mustHear();
      phase = 'idle';
      transcripts = (await transcriber.finish()).filter((words) => words.length > 0);
      phase = 'heard';
      const found = network === undefined ? undefined : bestOf(network, transcripts);
      if (found === undefined) {
        return { best: undefined, anySpeech: Number.NEGATIVE_INFINITY, frames: frames() };
      }
      const { words, score, share } = found;
      return {
        best: { words, score },
        anySpeech: score - share * Math.max(1, frames()),
        frames: frames(),
      };
    },
    async reconsider(networks) {
      mustBeOpen();
      if (phase !== 'heard') {
        throw new PortError('unsupported', engineMessages.notFinished);
      }
      return networks.map((one): Path | undefined => {
        const found = bestOf(one, transcripts);
        return found && { words: found.words, score: found.score };
      });
    },
    async abort() {
      mustBeOpen();
      phase = 'idle';
      transcripts = [];
      await transcriber.abort();
    },
    async forget() {
      mustBeOpen();
      phase = 'idle';
      transcripts = [];
      await transcriber.abort();
    },
    async close() {
      if (phase === 'closed') return;
      phase = 'closed';
      transcripts = [];
      await transcriber.close();
    },
  };
}

function bestOf(network: WordNetwork, transcripts: readonly Transcript[]): Fit | undefined {
  let best: Fit | undefined;
  for (const transcript of transcripts) {
    const found = fitted(network, transcript);
    if (found === undefined || found.words.length === 0) continue;
    if (best === undefined || found.score > best.score) best = found;
  }
  return best;
}
