import { chosenLanguage, type LanguageId } from '../../exam/language.ts';

/** What can go wrong with bringing and choosing a model, each in one line, in English. */
const english = {
  /** For who writes the manifest; what its schema asks for stands in the schema's own terms. */
  manifest: {
    wrong: (path: string, must: string) => `models-manifest: ${path} must ${must}`,
    whole: 'the manifest',
    new: 'be new',
    sum: (bytes: number) => `be the sum of its files, ${bytes}`,
    completer: 'be a model of the same engine',
    unknownHash: 'be null if and only if known is "unknown"',
    address: 'be there',
  },
  unknown: (id: string, known: string) =>
    `there is no model "${id}"; models-manifest knows ${known}`,
  otherEngine: (id: string, engine: string, engines: string) =>
    `${id} is for the engine ${engine}, which does not run here (${engines} do); choose another model`,
  otherRate: (id: string, rate: number, own: number) =>
    `${id} is for sound at ${rate} Hz, and this program hears at ${own} Hz; choose another model`,
  otherLanguage: (id: string, language: string, own: string) =>
    `${id} is for the language ${language}, and the grammar is in ${own}; choose another model`,
  noEngine: (id: string) => `${id} is for an engine that is not here`,
  notInstalled: (name: string) => `${name} is not installed; add it again`,
  damaged: (file: string, name: string) =>
    `${file} of ${name} is damaged; remove it and add it again`,
  missing: (file: string, id: string) => `${file} of ${id} is missing; add the model again`,
  notAdded: (id: string, why: string) => `${id} was not added: ${why}`,
  notHere: (id: string) => `${id} cannot be fetched here; add it from its files`,
  noRoom: (id: string, wanted: string, free: string) =>
    `${id} needs ${wanted} more than the ${free} that are free; make room and add it again`,
  wrongHash: (file: string, id: string, sha256: string) =>
    `${file} of ${id} is not the file it should be (its SHA-256 is ${sha256}); nothing was installed; add it again, or from another place`,
  isPage: (file: string, id: string) =>
    `${file} of ${id} is answered with a web page; nothing was installed`,
  tooLong: (file: string, id: string, bytes: number) =>
    `${file} of ${id} is longer than its ${bytes} bytes; nothing was installed`,
  brokeOff: (file: string, id: string, kept: number, bytes: number) =>
    `${file} of ${id} broke off at ${kept} of ${bytes} bytes; what has come is kept, and adding it again goes on from there`,
  stopped: (id: string) =>
    `${id} was stopped; what has come is kept, and adding it again goes on from there`,
  sourceStopped: 'stopped',
  noAddress: (file: string) => `${file} has no address; add it from a folder`,
  noAnswer: (host: string) =>
    `${host} did not answer in time; what has come is kept: add the model again to go on, or add it from a folder`,
  unreachable: (host: string) =>
    `${host} cannot be reached; what has come is kept: add the model again to go on, or add it from a folder`,
  hostLacks: (host: string, file: string, status: number) =>
    `${host} has no ${file} (status ${status}); add the model from a folder`,
  hostGivesPage: (host: string, file: string) =>
    `${host} answers with a web page in place of ${file}; nothing was installed`,
  notChosen: (file: string) =>
    `${file} is not among the files chosen; choose all files of the model, or its folder`,
  nothingKept: 'this browser keeps nothing for this page; models cannot be added',
  full: 'the browser has no more room for this page; make room and add the model again, it goes on from there',
  notKept: 'the browser did not keep the model; add it again',
};

export type ModelFaultMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, ModelFaultMessages>> = { en: english };
export const modelFaultMessages: ModelFaultMessages = byLanguage[chosenLanguage];
