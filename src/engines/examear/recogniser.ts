import { chain, type WordNetwork } from '../../grammar/network.ts';
import {
  type Path,
  PortError,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../ports.ts';
import { Dither } from '../dither.ts';
import { samplesPerFrame } from '../frame.ts';
import { engineMessages } from '../messages.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import { Allowance } from './allowance.ts';
import { ReplyFitting } from './fitting.ts';
import { type Graph, graphOf } from './graph.ts';
import { Dictionary } from './lexicon.ts';
import { Mel } from './mel.ts';
import { frameMs, Network } from './network.ts';
import { type Reply, replyOf } from './reply.ts';
import { AnySpeech, Search } from './search.ts';
import { tuning } from './tuning.ts';
import { weakestOf } from './weakest.ts';
import { markOf, readWeights } from './weights.ts';

export interface ExamEarParts {
  /** The file `examear.bin`. */
  readonly weights: Uint8Array;
  readonly pronunciations: Pronunciations;
  /** A general dictionary as text, `word PH PH …` a line. */
  readonly dictionary: string;
  /** Where somebody watches, a clock in ms: words are then told as they are said, which costs time. */
  readonly watched?: () => number;
}

/** @throws PortError `corrupt`, `unsupported` */
export function createExamEar(parts: ExamEarParts): Recogniser {
  return new ExamEar(parts);
}

type Phase = 'idle' | 'hearing' | 'heard' | 'closed';

class ExamEar implements Recogniser {
  readonly id = 'examear';
  readonly #mel: Mel;
  readonly #network: Network;
  readonly #dictionary: Dictionary;
  readonly #anySpeech = new AnySpeech(tuning.price);
  readonly #graphs = new WeakMap<WordNetwork, Graph>();
  #search: Search | undefined;
  #next: WordNetwork | undefined;
  #phase: Phase = 'idle';
  #rows: Float32Array[] = [];
  #samples = 0;
  #dither = new Dither(tuning.dither);
  readonly #looks: Allowance | undefined;
  #words: readonly string[] = [];
  readonly fitting: ReplyFitting;
  /** Takes up another fit, once no utterance is in progress. */
  #use: (() => void) | undefined;

  constructor({ weights, pronunciations, dictionary, watched }: ExamEarParts) {
    const trained = readWeights(weights);
    this.#mel = new Mel(trained.of('mel.bands'));
    this.#network = new Network(trained);
    this.#dictionary = new Dictionary(pronunciations, dictionary);
    if (watched !== undefined) this.#looks = new Allowance(watched, tuning.looks);
    this.fitting = new ReplyFitting({
      weights: trained,
      of: markOf(weights),
      busy: () => this.#phase === 'hearing',
      heard: (words, most) =>
        this.#phase === 'heard' ? this.#reply(this.#rows, words, most) : undefined,
      reply: (sound, words, most) => {
        // Of the last utterance only its rows are still wanted, which lie elsewhere.
        this.#mel.reset();
        this.#network.reset();
        const dithered = new Dither(tuning.dither).added(sound);
        const rows = [...this.#network.push(this.#mel.push(dithered)), ...this.#network.finish()];
        const reply = this.#reply(rows, words, most);
        this.#network.reset();
        return reply;
      },
      use: (fit) => {
        this.#use = () => this.#network.use(fit);
      },
    });
  }

  async listenFor(network: WordNetwork): Promise<void> {
    this.#mustBeOpen();
    this.#graph(network);
    this.#next = network;
  }

  async start(): Promise<void> {
    this.#mustBeOpen();
    if (this.#next !== undefined) {
      this.#search = new Search(this.#graph(this.#next), tuning.beam);
      this.#next = undefined;
    }
    if (this.#search === undefined) {
      throw new PortError('unsupported', engineMessages.nothingToHear);
    }
    this.#search.reset();
    this.#begin();
    this.#phase = 'hearing';
  }

  async feed(sound: Sound): Promise<readonly string[]> {
    const search = this.#mustHear();
    this.#samples += sound.length;
    this.#take(this.#network.push(this.#mel.push(this.#dither.added(sound))), search);
    const looked = this.#looks?.spend(() => this.#look(search));
    if (looked !== undefined) this.#words = looked;
    else this.#words = this.#withoutLook(this.#wordsSoFar(search));
    return this.#words;
  }

  async finish(): Promise<Recognition> {
    const search = this.#mustHear();
    this.#take(this.#network.finish(), search);
    this.#phase = 'heard';
    return {
      best: this.#told(search.best()),
      anySpeech: this.#anySpeech.score,
      frames: Math.floor(this.#samples / samplesPerFrame),
    };
  }

  async reconsider(networks: readonly WordNetwork[]): Promise<readonly (Path | undefined)[]> {
    this.#mustBeOpen();
    if (this.#phase !== 'heard') {
      throw new PortError('unsupported', engineMessages.notFinished);
    }
    const lexicon = this.#dictionary.lexicon(networks);
    return networks.map((network) => {
      const search = new Search(graphOf(network, lexicon), tuning.beamAgain);
      for (const row of this.#rows) search.push(row);
      return this.#told(search.best());
    });
  }

  async abort(): Promise<void> {
    this.#mustBeOpen();
    this.#begin();
    this.#phase = 'idle';
  }

  async forget(): Promise<void> {
    await this.abort();
    await this.fitting.forget();
  }

  async close(): Promise<void> {
    this.#phase = 'closed';
    this.#rows = [];
    this.#search = undefined;
    await this.fitting.forget();
  }

  #reply(rows: readonly Float32Array[], words: readonly string[], most: number): Reply | undefined {
    const lexicon = this.#dictionary.lexicon([chain(words)]);
    return replyOf(this.#network.entered(rows.length / 2), rows, words, lexicon, most);
  }

  /** With how its pieces fit, and its words when they were said rather than when the network told them. */
  #told(path: Path | undefined): Path | undefined {
    if (path === undefined || path.words.length === 0) return path;
    const lexicon = this.#dictionary.lexicon([chain(path.words.map(({ word }) => word))]);
    const words = path.words.map(({ word, startMs, endMs }) => {
      const from = Math.max(0, startMs - tuning.lateMs);
      return { word, startMs: from, endMs: Math.max(from + frameMs, endMs - tuning.lateMs) };
    });
    return { ...path, words, weakest: weakestOf(path, this.#rows, lexicon) };
  }

  #begin(): void {
    this.#use?.();
    this.#use = undefined;
    this.#mel.reset();
    this.#network.reset();
    this.#anySpeech.reset();
    this.#rows = [];
    this.#samples = 0;
    this.#words = [];
    this.#dither = new Dither(tuning.dither);
  }

  #take(rows: readonly Float32Array[], search: Search): void {
    this.#rows.push(...rows);
    this.#follow(rows, search);
  }

  #follow(rows: readonly Float32Array[], search: Search): void {
    for (const row of rows) {
      this.#anySpeech.push(row);
      search.push(row);
    }
  }

  /** The words so far, those among them that the network cannot know for certain yet. */
  #look(search: Search): readonly string[] {
    const back = [search.keep(), this.#anySpeech.keep()];
    this.#follow(this.#network.look(), search);
    const words = this.#wordsSoFar(search);
    for (const put of back) put();
    return words;
  }

  /** A look before may have shown more than is certain now: that stays while the certain words agree. */
  #withoutLook(certain: readonly string[]): readonly string[] {
    if (this.#looks === undefined) return certain;
    return certain.every((word, i) => word === this.#words[i]) ? this.#words : certain;
  }

  #wordsSoFar(search: Search): readonly string[] {
    if (search.score < this.#anySpeech.score - tuning.talk) return [];
    return search.wordsSoFar(tuning.near);
  }

  #graph(network: WordNetwork): Graph {
    const known = this.#graphs.get(network);
    if (known !== undefined) return known;
    const graph = graphOf(network, this.#dictionary.lexicon([network]));
    this.#graphs.set(network, graph);
    return graph;
  }

  #mustBeOpen(): void {
    if (this.#phase === 'closed') throw new PortError('closed', engineMessages.isClosed);
  }

  #mustHear(): Search {
    this.#mustBeOpen();
    if (this.#phase !== 'hearing' || this.#search === undefined) {
      throw new PortError('unsupported', engineMessages.notStarted);
    }
    return this.#search;
  }
}
