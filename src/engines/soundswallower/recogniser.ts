import type { WordNetwork } from '../../grammar/network.ts';
import {
  joined,
  type Path,
  PortError,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../ports.ts';
import { Dither } from '../dither.ts';
import { samplesPerFrame } from '../frame.ts';
import { engineMessages } from '../messages.ts';
import { anyPhone, anySpeechIn } from './anySpeech.ts';
import type { Pronunciations } from './dictionary.ts';
import { type LoadFile, makeDecoder, readModel } from './model.ts';
import { checked } from './native.ts';
import { Search } from './search.ts';
import { type Tuning, tuning as usual } from './tuning.ts';

export interface SoundswallowerParts {
  /** Makes the compiled engine; `soundswallower`'s default export, given where its wasm lies. */
  readonly createModule: () => Promise<object>;
  readonly loadFile: LoadFile;
  /** Words that the model's dictionary lacks, or says otherwise: these replace its own. */
  readonly pronunciations: Pronunciations;
  readonly tuning?: Partial<Tuning>;
}

/**
 * The recogniser, wherever it runs; `node.ts` and `worker.ts` bring the module and the files.
 *
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export async function createRecogniser(parts: SoundswallowerParts): Promise<Recogniser> {
  const tuning: Tuning = { ...usual, ...parts.tuning };
  const native = checked(await parts.createModule());
  const model = await readModel(parts.loadFile);
  const search = (settings: Tuning['grammar']): Search =>
    new Search(
      makeDecoder(native, model, { ...settings, loglevel: 'FATAL' }),
      parts.pronunciations,
      tuning.languageWeight,
    );
  const live = search(tuning.grammar);
  const again = search(tuning.again);
  const anySpeech = anySpeechIn(live, -tuning.anySpeechCost / tuning.languageWeight);
  return new Soundswallower(live, anySpeech, again, tuning);
}

type Phase = 'idle' | 'hearing' | 'heard' | 'closed';

/**
 * Two searches over one sound: the grammar and any speech side by side as it comes, so that both
 * scores are there when it ends; and, when asked, the whole utterance again under small networks.
 */
class Soundswallower implements Recogniser {
  readonly id = 'soundswallower';
  readonly #live: Search;
  readonly #anySpeech: WordNetwork;
  readonly #again: Search;
  readonly #tuning: Tuning;
  #phase: Phase = 'idle';
  #laid = false;
  #next: WordNetwork | undefined;
  #sound: Float32Array[] = [];
  #partial: readonly string[] = [];
  #dither: Dither;
  /** Frames heard since the last `forget`. */
  #known = 0;
  /** Whether the latest utterance was of a voice not yet known. */
  #strange = true;

  constructor(live: Search, anySpeech: WordNetwork, again: Search, tuning: Tuning) {
    this.#live = live;
    this.#anySpeech = anySpeech;
    this.#again = again;
    this.#tuning = tuning;
    this.#dither = new Dither(tuning.dither);
  }

  async listenFor(network: WordNetwork): Promise<void> {
    this.#mustBeOpen();
    // A search in progress keeps its network; the new one holds from the next utterance on.
    if (this.#phase === 'hearing') this.#next = network;
    else this.#lay(network);
  }

  async start(): Promise<void> {
    this.#mustBeOpen();
    if (this.#phase === 'hearing') await this.abort();
    if (this.#next !== undefined) this.#lay(this.#next);
    if (!this.#laid) {
      throw new PortError('unsupported', engineMessages.nothingToHear);
    }
    this.#sound = [];
    this.#partial = [];
    this.#dither = new Dither(this.#tuning.dither);
    this.#live.begin();
    this.#phase = 'hearing';
  }

  async feed(sound: Sound): Promise<readonly string[]> {
    this.#mustHear();
    const piece = this.#dither.added(sound);
    this.#sound.push(piece);
    this.#live.take(piece);
    const words = this.#live.wordsSoFar();
    if (words.length > 0 && !words.some((word) => word.startsWith(anyPhone))) this.#partial = words;
    return this.#partial;
  }

  async finish(): Promise<Recognition> {
    this.#mustHear();
    this.#live.end();
    this.#phase = 'heard';
    const samples = this.#sound.reduce((sum, part) => sum + part.length, 0);
    const frames = Math.floor(samples / samplesPerFrame);
    // While voice and room are strange, each utterance is heard a second time with its own mean
    // taken off; the mean it leaves behind is a better one than the model's for what comes next.
    this.#strange = this.#known < this.#tuning.strangeFrames;
    if (this.#strange) {
      this.#live.begin();
      this.#live.take(joined(this.#sound), true);
      this.#live.end();
    }
    this.#known += frames;
    const [best, anySpeech] = this.#live.paths();
    return {
      best,
      anySpeech: (anySpeech?.score ?? Number.NEGATIVE_INFINITY) + this.#tuning.anySpeechCost,
      frames,
    };
  }

  async reconsider(networks: readonly WordNetwork[]): Promise<readonly (Path | undefined)[]> {
    this.#mustBeOpen();
    if (this.#phase !== 'heard') {
      throw new PortError('unsupported', engineMessages.notFinished);
    }
    if (networks.length === 0) return [];
    this.#again.lay(networks);
    this.#again.begin();
    // As it was first heard: a voice that is strange with its own mean, one that is known with what
    // was learnt of it, since a short utterance's own mean is a poor one.
    this.#again.take(joined(this.#sound), this.#strange);
    this.#again.end();
    return this.#again.paths();
  }

  async abort(): Promise<void> {
    this.#mustBeOpen();
    this.#live.end();
    this.#phase = 'idle';
    this.#sound = [];
  }

  async forget(): Promise<void> {
    await this.abort();
    this.#live.forget();
    this.#again.forget();
    this.#known = 0;
  }

  async close(): Promise<void> {
    if (this.#phase === 'closed') return;
    this.#phase = 'closed';
    this.#sound = [];
    this.#live.close();
    this.#again.close();
  }

  #lay(network: WordNetwork): void {
    this.#live.lay([network, this.#anySpeech]);
    this.#next = undefined;
    this.#laid = true;
  }

  #mustBeOpen(): void {
    if (this.#phase === 'closed') throw new PortError('closed', engineMessages.isClosed);
  }

  #mustHear(): void {
    this.#mustBeOpen();
    if (this.#phase !== 'hearing') throw new PortError('unsupported', engineMessages.notStarted);
  }
}
