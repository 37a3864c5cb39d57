import { type WordNetwork, wordsOf } from '../../grammar/network.ts';
import {
  type HeardWord,
  type Path,
  PortError,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../ports.ts';
import { lookUp, type Pronunciations, phones } from './dictionary.ts';
import { layOut, type SearchGraph } from './graph.ts';
import { type Decoder, type LoadFile, loadDecoder, phoneWord, silenceWord } from './model.ts';
import { checked } from './native.ts';
import { type Tuning, tuning as usual } from './tuning.ts';

/** The engine keeps scores as whole numbers of 1024 times log base 1.0001. */
const natsPerUnit = 1024 * Math.log(1.0001);
const frameMs = 10;
const samplesAtOnce = 16_000;

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
  const engine = await loadDecoder(native, parts.loadFile, {
    ...tuning.engine,
    // Silence and second pronunciations are laid into the search graph here.
    fsgusefiller: false,
    fsgusealtpron: false,
    loglevel: 'FATAL',
  });
  return new Soundswallower(engine, parts.pronunciations, tuning);
}

type Phase = 'idle' | 'hearing' | 'heard' | 'closed';

class Soundswallower implements Recogniser {
  readonly id = 'soundswallower';
  readonly #engine: Decoder;
  readonly #own: Pronunciations;
  readonly #tuning: Tuning;
  readonly #spellings = new Map<string, readonly string[]>();
  readonly #samples: number;
  readonly #out: number;
  #phase: Phase = 'idle';
  #network: WordNetwork | undefined;
  #graph: SearchGraph | undefined;
  #fsg = 0;
  /** Whether what the engine searches now is `#network` and nothing else. */
  #laid = false;
  #sound: Float32Array[] = [];
  #fed = 0;
  #partial: readonly string[] = [];
  #anySpeech: number | undefined;
  #noise = 1;

  constructor(engine: Decoder, own: Pronunciations, tuning: Tuning) {
    this.#engine = engine;
    this.#own = own;
    this.#tuning = tuning;
    this.#samples = engine.memory.native._malloc(samplesAtOnce * 4);
    this.#out = engine.memory.native._malloc(12);
  }

  async listenFor(network: WordNetwork): Promise<void> {
    this.#mustBeOpen();
    this.#learn([network]);
    this.#network = network;
    this.#laid = false;
    if (this.#phase !== 'hearing') this.#lay([network]);
  }

  async start(): Promise<void> {
    this.#mustBeOpen();
    if (this.#network === undefined) {
      throw new PortError('unsupported', 'the recogniser was not told what to listen for');
    }
    if (this.#phase === 'hearing') await this.abort();
    if (!this.#laid) this.#lay([this.#network]);
    this.#sound = [];
    this.#fed = 0;
    this.#partial = [];
    this.#noise = 1;
    this.#begin();
    this.#phase = 'hearing';
  }

  async feed(sound: Sound): Promise<readonly string[]> {
    this.#mustHear();
    const dithered = this.#dither(sound);
    this.#sound.push(dithered);
    this.#fed += sound.length;
    this.#process(dithered);
    const words = this.#wordsSoFar();
    if (words.length > 0) this.#partial = words;
    return this.#partial;
  }

  async finish(): Promise<Recognition> {
    this.#mustHear();
    this.#end();
    this.#phase = 'heard';
    const graph = this.#mustGraph();
    const best = this.#path(graph.finals[0] ?? 0);
    const loop = this.#path(graph.anySpeech)?.score;
    this.#anySpeech = loop;
    return {
      best,
      // A loop that fell out of the beam is at least so far behind; how far, nobody knows.
      anySpeech: loop ?? (best?.score ?? 0) - this.#tuning.beamNats,
      frames: Math.floor((this.#fed / samplesAtOnce) * (1000 / frameMs)),
    };
  }

  async reconsider(networks: readonly WordNetwork[]): Promise<readonly (Path | undefined)[]> {
    this.#mustBeOpen();
    if (this.#phase !== 'heard') {
      throw new PortError('unsupported', 'there is no finished utterance to hear again');
    }
    if (networks.length === 0) return [];
    this.#learn(networks);
    this.#lay(networks);
    this.#laid = false;
    this.#begin();
    for (const sound of this.#sound) this.#process(sound);
    this.#end();
    const graph = this.#mustGraph();
    const again = this.#path(graph.anySpeech)?.score;
    // Speech sounds are scored against the best of those in play, which depends on the networks;
    // the loop of phones is in every search and so gives the common zero.
    const shift =
      again === undefined || this.#anySpeech === undefined ? 0 : this.#anySpeech - again;
    return graph.finals.map((final) => {
      const path = this.#path(final);
      return path && { ...path, score: path.score + shift };
    });
  }

  async abort(): Promise<void> {
    this.#mustBeOpen();
    if (this.#phase === 'hearing') this.#end();
    this.#phase = 'idle';
    this.#sound = [];
  }

  async close(): Promise<void> {
    if (this.#phase === 'closed') return;
    const { native } = this.#engine.memory;
    if (this.#phase === 'hearing') this.#end();
    this.#phase = 'closed';
    this.#sound = [];
    native._free(this.#samples);
    native._free(this.#out);
    native._decoder_free(this.#engine.decoder);
  }

  #mustBeOpen(): void {
    if (this.#phase === 'closed') throw new PortError('closed', 'the recogniser is closed');
  }

  #mustHear(): void {
    this.#mustBeOpen();
    if (this.#phase !== 'hearing') {
      throw new PortError('unsupported', 'no utterance was started');
    }
  }

  #mustGraph(): SearchGraph {
    if (this.#graph === undefined) throw new PortError('unsupported', 'nothing to listen for');
    return this.#graph;
  }

  /** Puts words into the engine's dictionary. @throws PortError `unknown-word` naming all of them */
  #learn(networks: readonly WordNetwork[]): void {
    const fresh = new Set(networks.flatMap(wordsOf).filter((word) => !this.#spellings.has(word)));
    if (fresh.size === 0) return;
    const known = lookUp(fresh, this.#engine.dictionary);
    const found = [...fresh].map((word) => [word, this.#own.get(word) ?? known.get(word)] as const);
    const unknown = found.flatMap(([word, sounds]) => (sounds === undefined ? [word] : []));
    if (unknown.length > 0) {
      throw new PortError(
        'unknown-word',
        `no pronunciation for ${unknown.join(', ')}; add it to grammars/pronunciations.dict`,
      );
    }
    const { memory, decoder } = this.#engine;
    for (const [word, sounds = []] of found) {
      this.#spellings.set(
        word,
        sounds.map((row, index) => {
          const spelling = index === 0 ? word : `${word}(${index + 1})`;
          const id = memory.withText(spelling, (text) =>
            memory.withText(row, (row) => memory.native._decoder_add_word(decoder, text, row, 0)),
          );
          if (id < 0) {
            throw new PortError('unknown-word', `"${row}" cannot be a pronunciation of ${word}`);
          }
          return spelling;
        }),
      );
    }
  }

  /** Gives the engine its search graph. */
  #lay(networks: readonly WordNetwork[]): void {
    const { memory, decoder } = this.#engine;
    const { native } = memory;
    const graph = layOut(networks, {
      spellings: (word) => this.#spellings.get(word) ?? [],
      silence: silenceWord,
      silenceWeight: this.#tuning.silenceWeight,
      phones: phones.map(phoneWord),
      phoneWeight: this.#tuning.phoneWeight,
    });
    const units = (weight: number): number => Math.round(weight / Math.log(1.0001));
    const fsg = memory.withText('plessor', (name) =>
      native._fsg_model_init(name, native._decoder_logmath(decoder), 1, graph.states),
    );
    native._fsg_set_states(fsg, graph.start, graph.finals[0] ?? 0);
    const ids = new Map<string, number>();
    for (const { from, to, word, weight } of graph.arcs) {
      if (word === undefined) {
        native._fsg_model_null_trans_add(fsg, from, to, units(weight));
        continue;
      }
      let id = ids.get(word);
      if (id === undefined) {
        id = memory.withText(word, (text) => native._fsg_model_word_add(fsg, text));
        ids.set(word, id);
      }
      native._fsg_model_trans_add(fsg, from, to, units(weight), id);
    }
    const failed = native._decoder_set_fsg(decoder, fsg) < 0;
    if (failed) native._fsg_model_free(fsg); // else it belongs to the search, which frees it
    if (failed) throw new PortError('unsupported', 'the engine refused the grammar');
    this.#graph = graph;
    this.#fsg = fsg;
    this.#laid = true;
  }

  /** Begins an utterance as if it were the first: nothing that came before may move its scores. */
  #begin(): void {
    const { memory, decoder, acmod, frontEnd } = this.#engine;
    const { native } = memory;
    memory.withText('cmninit', (key) =>
      memory.withText(this.#tuning.cepstralMean, (mean) =>
        native._config_set_str(native._decoder_config(decoder), key, mean),
      ),
    );
    const feat = native._decoder_init_feat_s3file(decoder, 0);
    native._acmod_reinit_feat(acmod, frontEnd, feat);
    if (native._decoder_start_utt(decoder) < 0) {
      throw new PortError('unsupported', 'the engine could not start an utterance');
    }
  }

  #process(sound: Float32Array): void {
    const { memory, decoder } = this.#engine;
    for (let at = 0; at < sound.length; at += samplesAtOnce) {
      const part = sound.subarray(at, at + samplesAtOnce);
      memory.native.HEAPF32.set(part, this.#samples >> 2);
      memory.native._decoder_process_float32(decoder, this.#samples, part.length, 0, 0);
    }
  }

  #end(): void {
    this.#engine.memory.native._decoder_end_utt(this.#engine.decoder);
  }

  /** Exact digital silence has no spectrum; a whisper of noise, always the same, gives it one. */
  #dither(sound: Sound): Float32Array {
    const dithered = new Float32Array(sound.length);
    let noise = this.#noise;
    for (let i = 0; i < sound.length; i++) {
      noise = (Math.imul(noise, 1_664_525) + 1_013_904_223) >>> 0;
      dithered[i] = (sound[i] ?? 0) + (noise / 0x1_0000_0000 - 0.5) * this.#tuning.dither;
    }
    this.#noise = noise;
    return dithered;
  }

  #wordsSoFar(): readonly string[] {
    const { memory, decoder } = this.#engine;
    const said = memory.text(memory.native._decoder_hyp(decoder, 0));
    return said.split(' ').filter(isWord);
  }

  /** The best path to one end of the graph, after the utterance. */
  #path(final: number): Path | undefined {
    const { memory, decoder } = this.#engine;
    const { native } = memory;
    const graph = this.#mustGraph();
    // The engine knows one final state and reads it only when asked for the answer.
    native._fsg_set_states(this.#fsg, graph.start, final);
    if (native._decoder_hyp(decoder, this.#out) === 0) return undefined;
    const score = memory.int(this.#out) * natsPerUnit;
    const words: HeardWord[] = [];
    let segment = native._decoder_seg_iter(decoder);
    while (segment !== 0) {
      const word = memory.text(native._seg_iter_word(segment)).replace(/\(\d+\)$/, '');
      native._seg_iter_frames(segment, this.#out + 4, this.#out + 8);
      if (isWord(word)) {
        words.push({
          word,
          startMs: memory.int(this.#out + 4) * frameMs,
          endMs: (memory.int(this.#out + 8) + 1) * frameMs,
        });
      }
      segment = native._seg_iter_next(segment);
    }
    return { words, score };
  }
}

/** Neither silence, nor noise, nor a phone of the loop, nor a step without a word. */
const isWord = (word: string): boolean => word !== '' && !/^[<[(+]/.test(word);
