import { chosenLanguage, type LanguageId } from '../exam/language.ts';

/** What can go wrong with what hears, each in one line, in English. An engine goes by its name. */
const english = {
  unable: 'the recogniser cannot start in this browser; type findings instead',
  stopped: (why: string) => `the recogniser stopped: ${why}`,
  notLoaded: 'the recogniser did not load',
  /** Why something stopped or was refused. */
  didNotLoad: 'it did not load',
  noModel: 'it is no model',
  failed: (why: string) => `the recogniser failed: ${why}`,
  wasClosed: 'the recogniser was closed',
  isClosed: 'the recogniser is closed',
  absent: 'the recogniser is not loaded',
  utteranceLost: 'the recogniser is not running; the utterance is lost',
  noAnswer: 'the recogniser did not answer; it is started anew',
  notAsked: 'the recogniser could not be asked',
  nothingToHear: 'the recogniser was not told what to listen for',
  notStarted: 'no utterance was started',
  notFinished: 'there is no finished utterance to hear again',
  noVectors: 'this browser lacks WebAssembly vectors; update it',
  model: {
    missing: (file: string) => `speech model: ${file} is missing; reload the page`,
    unreadable: (file: string) => `speech model: ${file} cannot be read; install the program again`,
    damaged: (file: string) => `speech model: ${file} is damaged; install it again`,
    mixtures: 'means, variances or sendump',
    configuration: 'configuration',
    someFile: 'a file',
    damagedWeights: 'examear: the file of weights is damaged; install it again',
    lacks: (functions: string) =>
      `this build of soundswallower lacks ${functions}; install version 0.6.3`,
    refusedGrammar: 'the engine refused the grammar',
    refusedUtterance: 'the engine could not start an utterance',
  },
  words: {
    unpronounced: (words: string) =>
      `no pronunciation for ${words}; add it to grammars/*/pronunciations.dict`,
    impossible: (sounds: string, word: string) =>
      `"${sounds}" cannot be a pronunciation of ${word}`,
    unknownPhones: (place: string, row: string, phones: string) =>
      `${place}: "${row}" is no pronunciation (unknown phone ${phones})`,
    noPhones: (place: string, row: string) => `${place}: "${row}" is no pronunciation (no phones)`,
  },
  engine: {
    unable: (engine: string) =>
      `${engine} cannot start in this browser; choose another model, or type findings`,
    stopped: (engine: string, why: string) => `${engine} stopped: ${why}`,
    utteranceLost: (engine: string) => `${engine} is not running; the utterance is lost`,
    noAnswer: (engine: string) => `${engine} did not answer; it is started anew`,
    notAsked: (engine: string) => `${engine} could not be asked`,
    notLoaded: (engine: string) => `${engine} did not load`,
    absent: (engine: string) => `${engine} is not loaded`,
    renewed: (engine: string) => `${engine} is started anew`,
    closed: (engine: string) => `${engine} was closed`,
    failed: (engine: string, why: string) => `${engine} failed: ${why}`,
    refused: (engine: string, why: string) =>
      `${engine} refused its model (${why}); remove the model and add it again`,
    lacks: (engine: string, file: string) => `${engine}: ${file} is missing; add the model again`,
  },
};

export type EngineMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, EngineMessages>> = { en: english };
export const engineMessages: EngineMessages = byLanguage[chosenLanguage];
