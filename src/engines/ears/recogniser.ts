import { chain, type WordNetwork, weightOf } from '../../grammar/network.ts';
import {
  type Fitting,
  joined,
  type Path,
  type Recogniser,
  type Recognition,
  type Sound,
} from '../../ports.ts';
import { createExamEar } from '../examear/recogniser.ts';
import { withoutReverberation } from '../reverberation.ts';
import type { Pronunciations } from '../soundswallower/dictionary.ts';
import { type LoadFile, readModel } from '../soundswallower/model.ts';
import { createOpinion, type Opinion } from '../soundswallower/opinion.ts';
import { tuning } from './tuning.ts';

export interface EarsParts {
  /** The file `examear.bin`. */
  readonly weights: Uint8Array;
  /** Makes the compiled engine of the mixture models. */
  readonly createModule: () => Promise<object>;
  /** The mixture models. */
  readonly loadFile: LoadFile;
  /** Words that the model's dictionary lacks, or says otherwise: these replace its own. */
  readonly pronunciations: Pronunciations;
  /** Where somebody watches, a clock in ms: words are then told as they are said, which costs time. */
  readonly watched?: () => number;
}

/**
 * The exam ear with the mixture models for a second opinion, wherever they run.
 * @throws PortError `not-found`, `corrupt`, `unsupported`
 */
export async function createEars(parts: EarsParts): Promise<Recogniser> {
  const { createModule, loadFile, ...own } = parts;
  const model = await readModel(loadFile);
  const exam = createExamEar({ ...own, dictionary: model.dictionary });
  const { pronunciations } = own;
  return together(exam, await createOpinion({ createModule, model, pronunciations }));
}

/** One recogniser of two ears. */
export const together = (exam: Recogniser, mixture: Opinion): Recogniser => new Ears(exam, mixture);

type Heard = readonly (Path | undefined)[];

/**
 * One ear hears what is said as it is said. When the utterance is heard again, both are asked: what
 * they mishear has little in common.
 */
class Ears implements Recogniser {
  readonly id = 'ears';
  /** The exam ear alone learns. */
  readonly fitting?: Fitting;
  readonly #exam: Recogniser;
  readonly #mixture: Opinion;
  #sound: Sound[] = [];
  /** The utterance without what the room gave back, once it was wanted. */
  #dry: Sound | undefined;

  constructor(exam: Recogniser, mixture: Opinion) {
    this.#exam = exam;
    this.#mixture = mixture;
    if (exam.fitting !== undefined) this.fitting = exam.fitting;
  }

  listenFor(network: WordNetwork): Promise<void> {
    return this.#exam.listenFor(network);
  }

  async start(): Promise<void> {
    await this.#exam.start();
    this.#clear();
  }

  async feed(sound: Sound): Promise<readonly string[]> {
    const words = await this.#exam.feed(sound);
    // What was handed in may be a view of what is filled anew.
    this.#sound.push(sound.slice());
    return words;
  }

  async finish(): Promise<Recognition> {
    const heard = await this.#exam.finish();
    const { best, anySpeech, frames } = heard;
    if (best === undefined || best.words.length === 0) return heard;
    const { unheard, doubtful, backed, counts } = tuning.talk;
    const long = frames + unheard;
    const lead = (best.score - anySpeech) / long;
    if (lead < doubtful.from || lead > doubtful.to) return heard;
    const words = best.words.map(({ word }) => word);
    const ahead = this.#mixture.ahead(joined(this.#sound), words);
    const backs = ahead !== undefined && ahead / Math.max(1, frames) > backed;
    return { ...heard, anySpeech: anySpeech + (backs ? -counts.for : counts.against) * long };
  }

  async reconsider(networks: readonly WordNetwork[]): Promise<Heard> {
    const exam = await this.#exam.reconsider(networks);
    const sound = joined(this.#sound);
    const both = await this.#together(networks, exam, sound, tuning.backs);
    if (lead(both) >= tuning.objected) return both;
    // A room deafens the mixture models sooner than the exam ear: what they object to they hear without it.
    this.#dry ??= withoutReverberation(sound);
    return this.#together(networks, exam, this.#dry, tuning.backsAgain);
  }

  async #together(
    networks: readonly WordNetwork[],
    exam: Heard,
    sound: Sound,
    backs: number,
  ): Promise<Heard> {
    const mixture = this.#mixture.of(sound, networks);
    const both = weighed(exam, mixture, backs);
    const split = networks.some((_, i) => differ(exam[i], mixture[i]));
    if (!split || lead(both) >= tuning.enough) return both;
    // They think of different sentences, each the best for one of them alone; now both weigh them all.
    const sentences = networks.flatMap((network, of) =>
      distinct([exam[of], mixture[of]]).map((words) => ({
        of,
        // As seldom as it is said in the network that it comes from.
        network: chain(words, weightOf(network, words)),
      })),
    );
    const each = sentences.map(({ network }) => network);
    const again = weighed(await this.#exam.reconsider(each), this.#mixture.of(sound, each), backs);
    return networks.map((_, i) => best(again.filter((_, k) => sentences[k]?.of === i)));
  }

  async abort(): Promise<void> {
    await this.#exam.abort();
    this.#clear();
  }

  async forget(): Promise<void> {
    await this.#exam.forget();
    this.#mixture.forget();
    this.#clear();
  }

  #clear(): void {
    this.#sound = [];
    this.#dry = undefined;
  }

  async close(): Promise<void> {
    await this.#exam.close();
    this.#mixture.close();
    this.#clear();
  }
}

const never = Number.NEGATIVE_INFINITY;

/**
 * Paths of both ears through the same networks, as one. The exam ear chooses. The mixture models back
 * its choice, or object to it: they never put another in its place, so that what only one of the two
 * finds best is at most doubtful.
 */
function weighed(exam: Heard, mixture: Heard, backs: number): Heard {
  const score = (paths: Heard, i: number): number => paths[i]?.score ?? never;
  const choice = indexOfBest(exam.some(heard) ? exam : mixture);
  // How much better than the choice another sentence is for each of them.
  const by = (paths: Heard, i: number): number => {
    const [one, chosen] = [score(paths, i), score(paths, choice)];
    return one === chosen ? 0 : one - chosen;
  };
  // The choice is a sentence; where they chose different ones from one network there is none.
  const split = differ(exam[choice], mixture[choice]);
  return exam.map((path, i) => {
    const one = path ?? mixture[i];
    if (one === undefined) return undefined;
    const behind =
      within(by(exam, i), -tuning.behind, 0) + within(by(mixture, i), -backs, tuning.objects);
    return { ...one, score: i === choice || split ? 0 : Math.min(behind, 0) };
  });
}

const heard = (path: Path | undefined): boolean => path !== undefined;

const best = (paths: Heard): Path | undefined => paths[indexOfBest(paths)];

/** How far the best is ahead of the next. */
function lead(paths: Heard): number {
  const scores = paths.map((path) => path?.score ?? never).sort((a, b) => b - a);
  return (scores[0] ?? 0) - (scores[1] ?? never);
}

function distinct(paths: Heard): readonly (readonly string[])[] {
  const all = paths.flatMap((path) => (path === undefined ? [] : [path]));
  return [...new Map(all.map((path) => [text(path), path.words.map(({ word }) => word)])).values()];
}

const indexOfBest = (paths: Heard): number =>
  paths.reduce(
    (best, path, i) => ((path?.score ?? never) > (paths[best]?.score ?? never) ? i : best),
    0,
  );

const within = (x: number, least: number, most: number): number =>
  Math.max(least, Math.min(most, x));

const text = (path: Path): string => path.words.map(({ word }) => word).join(' ');

const differ = (a: Path | undefined, b: Path | undefined): boolean =>
  a !== undefined && b !== undefined && text(a) !== text(b);
