import { chosenLanguage, type LanguageId } from '../exam/index.ts';

/** What a model made of one sound, in findings. */
interface Measurement {
  readonly sound: string;
  readonly findings: number;
  readonly right: number;
  readonly asked: number;
  readonly missed: number;
  readonly wrong: number;
}

/** The words of the list of models, in English. */
const english = {
  title: 'Recognition models',
  open: 'Choose what hears …',
  intro:
    'All of them hear on this device. Adding one fetches it once, from the address named with it and only when you press the button; afterwards it works without a network.',
  hears: 'hears now',
  bundled: 'comes with the program',
  installed: 'installed',
  absent: 'not installed',
  use: 'Use',
  add: (size: string) => `Add, ${size}`,
  goOn: (left: string) => `Go on adding, ${left} left`,
  files: 'Add from files',
  folder: 'Add from a folder',
  stop: 'Stop adding',
  remove: (size: string) => `Remove, frees ${size}`,
  progress: (done: string, all: string) => `${done} of ${all}`,
  from: (hosts: string) => `from ${hosts}`,
  needs: (memory: string) => `about ${memory} of memory while it hears`,
  notMeasured: 'Not measured here: nobody has run it on this project’s recordings.',
  measured: 'Measured here',
  measuredOn: ({ sound, findings, right, asked, missed, wrong }: Measurement) =>
    `${sound}: of ${findings} findings ${right} right, ${asked} asked, ${missed} missed, ${wrong} wrong`,
  noWebgpu: 'This device has no WebGPU, which this model needs.',
  tooLittle: (gigabytes: string) =>
    `This device has about ${gigabytes} GB of memory, too little for this model.`,
  wrong: (why: string) => `something went wrong: ${why}`,
  licence: 'Licence',
  unhashed:
    'The program does not know the hashes of all its files. Before it is installed you will be asked to compare them.',
  compare:
    'All has come. These files have a hash that the program cannot check. Compare each with what the publisher says; install only if they are the same.',
  confirm: 'They are the same: install',
  discard: 'They differ: discard',
};

export type ModelMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, ModelMessages>> = { en: english };
export const modelMessages: ModelMessages = byLanguage[chosenLanguage];
