import { chain, type WordNetwork, wordsOf } from '../../grammar/network.ts';
import { type HeardWord, type Path, PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import { lookUp, type Pronunciations } from './dictionary.ts';
import type { Decoder } from './model.ts';
import { sideBySide } from './side.ts';

/** The engine keeps scores as whole numbers of 1024 times log base 1.0001. */
const natsPerUnit = 1024 * Math.log(1.0001);
const frameMs = 10;
const samplesAtOnce = 16_000;

/**
 * One decoder of the engine with networks laid out in it. Several searches hear the same sound
 * side by side without minding each other.
 */
export class Search {
  readonly #engine: Decoder;
  readonly #own: Pronunciations;
  readonly #known = new Set<string>();
  readonly #samples: number;
  readonly #out: number;
  #fsg = 0;
  #start = 0;
  #finals: readonly number[] = [];
  #busy = false;

  /** How much the weights of arcs count against the sound. */
  readonly #languageWeight: number;

  constructor(engine: Decoder, own: Pronunciations, languageWeight: number) {
    this.#languageWeight = languageWeight;
    this.#engine = engine;
    this.#own = own;
    this.#samples = engine.memory.native._malloc(samplesAtOnce * 4);
    this.#out = engine.memory.native._malloc(12);
  }

  /** Adds a word with its sounds, a row of phones each. */
  add(word: string, sounds: readonly string[]): void {
    const { memory, decoder } = this.#engine;
    this.#known.add(word);
    for (const [index, row] of sounds.entries()) {
      const spelling = index === 0 ? word : `${word}(${index + 1})`;
      const id = memory.withText(spelling, (text) =>
        memory.withText(row, (phones) => memory.native._decoder_add_word(decoder, text, phones, 0)),
      );
      if (id < 0) {
        throw new PortError('unknown-word', engineMessages.words.impossible(row, word));
      }
    }
  }

  /**
   * Replaces what is searched, by networks side by side from one start, each with an end of its own:
   * each sound is then looked at once for all of them, and their scores compare. (In searches apart
   * they would not: the engine counts a speech sound from the best of those in play.)
   *
   * @throws PortError `unknown-word` naming every word that has no sounds
   */
  lay(networks: readonly WordNetwork[]): void {
    this.#learn(networks);
    // The engine frees the old graph only once the new one stands. A large one takes 60 MB, so a
    // very small one stands in between.
    const [word] = this.#known;
    if (this.#fsg !== 0 && word !== undefined) this.#build([chain([word])]);
    this.#build(networks);
  }

  #build(networks: readonly WordNetwork[]): void {
    const { memory, decoder } = this.#engine;
    const { native } = memory;
    const { states, start, finals, words, wordless } = sideBySide(networks);
    const fsg = memory.withText('plessor', (name) =>
      native._fsg_model_init(name, native._decoder_logmath(decoder), 1, states),
    );
    native._fsg_set_states(fsg, start, finals[0] ?? start);
    const ids = new Map<string, number>();
    const units = (w = 0): number => Math.round((this.#languageWeight * w) / Math.log(1.0001));
    for (const { from, to, word, weight } of words) {
      let id = ids.get(word);
      if (id === undefined) {
        id = memory.withText(word, (text) => native._fsg_model_word_add(fsg, text));
        ids.set(word, id);
      }
      native._fsg_model_trans_add(fsg, from, to, units(weight), id);
    }
    for (const { from, to, weight } of wordless)
      native._fsg_model_null_trans_add(fsg, from, to, units(weight));
    if (native._decoder_set_fsg(decoder, fsg) < 0) {
      native._fsg_model_free(fsg);
      throw new PortError('unsupported', engineMessages.model.refusedGrammar);
    }
    // This version of the engine takes the graph over and frees it with the search.
    this.#fsg = fsg;
    this.#start = start;
    this.#finals = finals;
  }

  begin(): void {
    if (this.#engine.memory.native._decoder_start_utt(this.#engine.decoder) < 0) {
      throw new PortError('unsupported', engineMessages.model.refusedUtterance);
    }
    this.#busy = true;
  }

  /** Takes sound as it comes; `whole` when it is all of the utterance at once. */
  take(sound: Float32Array, whole = false): void {
    const { memory, decoder } = this.#engine;
    const { native } = memory;
    if (whole) {
      const address = native._malloc(sound.length * 4);
      native.HEAPF32.set(sound, address >> 2);
      native._decoder_process_float32(decoder, address, sound.length, 0, 1);
      native._free(address);
      return;
    }
    for (let at = 0; at < sound.length; at += samplesAtOnce) {
      const part = sound.subarray(at, at + samplesAtOnce);
      native.HEAPF32.set(part, this.#samples >> 2);
      native._decoder_process_float32(decoder, this.#samples, part.length, 0, 0);
    }
  }

  end(): void {
    if (this.#busy) this.#engine.memory.native._decoder_end_utt(this.#engine.decoder);
    this.#busy = false;
  }

  /** Forgets what was learnt of voice and room. */
  forget(): void {
    const { memory, decoder, acmod, frontEnd } = this.#engine;
    const feat = memory.native._decoder_init_feat_s3file(decoder, 0);
    memory.native._acmod_reinit_feat(acmod, frontEnd, feat);
  }

  wordsSoFar(): readonly string[] {
    const { memory, decoder } = this.#engine;
    return memory.text(memory.native._decoder_hyp(decoder, 0)).split(' ').filter(isWord);
  }

  /** The best path through each network, once the utterance has ended. */
  paths(): readonly (Path | undefined)[] {
    return this.#finals.map((final) => this.#path(final));
  }

  #path(final: number): Path | undefined {
    const { memory, decoder } = this.#engine;
    const { native } = memory;
    // The engine knows one final state, and looks at it only when asked for the answer.
    native._fsg_set_states(this.#fsg, this.#start, final);
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

  close(): void {
    const { native } = this.#engine.memory;
    this.end();
    native._free(this.#samples);
    native._free(this.#out);
    native._decoder_free(this.#engine.decoder);
  }

  #learn(networks: readonly WordNetwork[]): void {
    const fresh = new Set(networks.flatMap(wordsOf).filter((word) => !this.#known.has(word)));
    if (fresh.size === 0) return;
    const general = lookUp(fresh, this.#engine.dictionary);
    const found = [...fresh].map(
      (word) => [word, this.#own.get(word) ?? general.get(word)] as const,
    );
    const unknown = found.flatMap(([word, sounds]) => (sounds === undefined ? [word] : []));
    if (unknown.length > 0) {
      throw new PortError('unknown-word', engineMessages.words.unpronounced(unknown.join(', ')));
    }
    for (const [word, sounds = []] of found) this.add(word, sounds);
  }
}

/** Neither silence nor noise nor a step without a word. */
const isWord = (word: string): boolean => word !== '' && !/^[<[(+]/.test(word);
