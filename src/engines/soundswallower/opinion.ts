import { chain, type WordNetwork } from '../../grammar/network.ts';
import type { Path, Sound } from '../../ports.ts';
import { Dither } from '../dither.ts';
import { samplesPerFrame } from '../frame.ts';
import { anySpeechIn } from './anySpeech.ts';
import type { Pronunciations } from './dictionary.ts';
import { type Model, makeDecoder } from './model.ts';
import { checked } from './native.ts';
import { Search } from './search.ts';
import { tuning } from './tuning.ts';

/** Hears a whole utterance under small networks: as what another ear heard, and as what it may have been. */
export interface Opinion {
  /**
   * The best path through each network; their scores compare with each other.
   * @throws PortError `unknown-word` naming every word it cannot pronounce
   */
  of(utterance: Sound, networks: readonly WordNetwork[]): readonly (Path | undefined)[];
  /**
   * How far these words are ahead of any speech whatever, in nats; nothing where they were not heard.
   * @throws PortError `unknown-word`
   */
  ahead(utterance: Sound, words: readonly string[]): number | undefined;
  /** Forgets what was learnt of voice and room. */
  forget(): void;
  close(): void;
}

/**
 * The mixture models, asked and not listening.
 * @throws PortError `corrupt`, `unsupported`
 */
export async function createOpinion(parts: {
  readonly createModule: () => Promise<object>;
  readonly model: Model;
  readonly pronunciations: Pronunciations;
}): Promise<Opinion> {
  const native = checked(await parts.createModule());
  const decoder = makeDecoder(native, parts.model, { ...tuning.again, loglevel: 'FATAL' });
  const search = new Search(decoder, parts.pronunciations, tuning.languageWeight);
  /** Frames heard since the last `forget`. */
  let known = 0;
  let open = true;
  const anySpeech = anySpeechIn(search);
  const hear = (utterance: Sound, networks: readonly WordNetwork[]) => {
    search.lay(networks);
    search.begin();
    // A voice that is strange is heard with its own mean taken off, one that is known with what was
    // learnt of it, since a short utterance's own mean is a poor one.
    const strange = known < tuning.strangeFrames;
    search.take(new Dither(tuning.dither).added(utterance), strange);
    search.end();
    known += utterance.length / samplesPerFrame;
    return search.paths();
  };
  return {
    of: hear,
    ahead(utterance, words) {
      const [own, any] = hear(utterance, [chain(words), anySpeech]);
      if (own === undefined) return undefined;
      return own.score - (any?.score ?? Number.NEGATIVE_INFINITY);
    },
    forget() {
      search.forget();
      known = 0;
    },
    close() {
      if (open) search.close();
      open = false;
    },
  };
}
