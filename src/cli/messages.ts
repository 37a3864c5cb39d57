import { chosenLanguage, type LanguageId } from '../exam/language.ts';
import { usage } from './usageEnglish.ts';

/** What the command line says of itself and of what goes wrong, in English. */
const english = {
  usage,
  fault: (line: string) => `plessor: ${line}`,
  /** A fault of a file, or of what was given by a name. */
  of: (file: string, what: string) => `${file}: ${what}`,
  noVerb: (verb: string, verbs: string) =>
    `there is no "${verb}"; use ${verbs} (plessor help tells more)`,
  badOptions: (verb: string, why: string) => `${verb}: ${why} (plessor help tells what it takes)`,
  noNetworks: 'the networks of the grammar are missing; run "npm run build"',
  listen: {
    noFile: 'listen needs a recording: plessor listen exam.wav',
    badList: (list: string, why: string) =>
      `--list ${list}: cannot be read (${why}); it holds one path a line`,
    someNotHeard: (faults: number, all: number) =>
      `${faults} of ${all} recordings could not be heard; the reasons stand above`,
    absent: (file: string) => `${file}: there is no such file; give a WAV recording`,
    unreadable: (file: string, why: string) =>
      `${file}: cannot be read (${why}); give a WAV recording`,
    noRegularFile: (file: string) => `${file}: is not a file; give a WAV recording`,
    empty: (file: string) => `${file}: the file is empty; give a WAV recording`,
    silent: (file: string) => `${file}: holds only silence; check the microphone and record again`,
    recorded: (file: string, findings: number) => `${file}: ${findings} findings recorded`,
    notComplete: 'The exam was not called complete, so no site was computed; say "exam complete".',
    notWritten: (folder: string, why: string) =>
      `--out ${folder}: cannot be written (${why}); choose another folder`,
  },
  interpret: {
    noWords: 'interpret needs words: plessor interpret "right patellar three plus"',
    unreadable: (file: string, why: string) => `${file}: cannot be read (${why}); give a text file`,
  },
  utterance: {
    heard: (words: string) => `heard     ${words}`,
    nothing: '(nothing)',
    recorded: (findings: string) => `recorded  ${findings}`,
    command: (command: string) => `command   ${command}`,
    toAnswer: (findings: string) => `to answer ${findings}`,
    incomplete: '(incomplete)',
    passedOver: 'passed over, not examination speech',
    says: (readBack: string) => `says      “${readBack}”`,
    certain: (confidence: string) => `certain   ${confidence}`,
    seconds: (length: string) => `${length} s`,
  },
  localize: {
    noFile: 'localize needs a record file: plessor localize record.json',
    oneFile: 'localize takes one record file',
    unreadable: (file: string, why: string) =>
      `${file}: cannot be read (${why}); give a record file`,
    noJson: (file: string, why: string) =>
      `${file}: is not JSON (${why}); a record is {"findings": [...]}`,
    noFindings: (file: string) => `${file}: has no "findings"; a record is {"findings": [...]}`,
  },
  localization: {
    cannotWait: (text: string) => `CANNOT WAIT: ${text}`,
    caution: (text: string) => `Caution: ${text}`,
    sites: 'Where the lesion may be:',
    for: (reasons: string) => `for     ${reasons}`,
    against: (reasons: string) => `against ${reasons}`,
    leaves: (reasons: string) => `leaves  ${reasons}`,
    else: 'everything else',
    next: 'What one more test would tell:',
    disclaimer:
      'An aid to reasoning, computed from these findings alone. It defers to the clinician and to local guidance.',
  },
  expect: {
    noKind: (text: string, kind: string, kinds: string) =>
      `--expect ${text}: "${kind}" is not a kind of finding; use kind:site, e.g. reflex:patellar (kinds: ${kinds})`,
    noSite: (text: string, site: string, kind: string, one: string) =>
      `--expect ${text}: "${site}" is not a site of ${kind}; one is ${one}`,
    noModality: (text: string, modality: string, modalities: string) =>
      `--expect ${text}: "${modality}" is not one of ${modalities}`,
  },
  check: {
    noFile: 'check needs a file: plessor check record.json',
    oneFile: 'check takes one file',
    unreadable: (file: string, why: string) => `${file}: cannot be read (${why})`,
    noPassphrase: (file: string) =>
      `${file}: is a review pack; give --passphrase-file FILE with its passphrase`,
    damagedPart: (file: string, part: number, what: string) =>
      `${file}: part ${part} ${what}; ask for the pack again`,
    kinds: { record: 'record', 'FHIR bundle': 'FHIR bundle', 'review pack': 'review pack' },
    whole: (file: string, kind: string, findings: number, events: number) =>
      `${file}: a whole ${kind}, ${findings} findings in ${events} events`,
    reviewed: (findings: number) => `${findings} findings reviewed`,
    signed: (who: string) => `signed by ${who}`,
  },
  demo: {
    noDemo: (wanted: string, demos: string) => `there is no demo "${wanted}"; use ${demos}`,
    noVoice: (voice: string, voices: string) => `there is no voice "${voice}"; use ${voices}`,
    rendering: (voice: string) => `rendering the exam with the voice ${voice} …`,
    loading: 'loading the recogniser …',
    record: 'Record',
    notConfirmed: (findings: string) => `Not confirmed: ${findings}`,
    notExamined: (items: string) => `Not examined: ${items}`,
    nothing: 'nothing of the plan',
    took: (sound: string, heard: string, factor: string) =>
      `${sound} s of sound heard in ${heard} s (real-time factor ${factor})`,
  },
  models: {
    badWords: 'models takes nothing, "add ID" or "remove ID"',
    addAgain: (id: string) => `run "plessor models add ${id}"`,
    installAgain: 'install the program again (npm ci)',
    notInstalled: (remedy: string) => `it is not installed; ${remedy}`,
    missing: (file: string, remedy: string) => `${file} is missing; ${remedy}`,
    otherFile: (file: string, remedy: string) =>
      `${file} is not the file that was installed; ${remedy}`,
    bundled: (id: string) => `${id} comes with the program and cannot be removed`,
    removed: (id: string) => `${id} is removed`,
    installed: (id: string, files: number) =>
      `${id} is installed; its ${files} files are as they should be`,
    about: (size: string, licence: string, notice: string) => `${size}, ${licence}. ${notice}`,
    percent: (done: number) => `${done} %`,
    unconfirmed: (id: string, fingerprint: string) =>
      `${id}: it has come but is not installed, because the manifest knows no hash of the files above; compare them with what the publisher says, then run "plessor models add ${id} --confirm ${fingerprint}"`,
    noDebian: (id: string) => `${id} is in no Debian package`,
    unsafe: (place: string) =>
      `${place}: on the way without encryption the files could be changed, and the manifest has no hash of some; give an https address or a folder`,
    standing: { installed: 'installed', absent: 'absent' },
    pageOnly: (name: string) => `${name} (in the page only)`,
    folderFull: (folder: string) =>
      `${folder} is full; make room and add the model again, it goes on from there`,
    folderUnwritable: (folder: string, why: string) =>
      `${folder} cannot be written (${why}); set PLESSOR_MODELS to another folder`,
    fileMissing: (file: string, id: string) =>
      `${file} of ${id} is missing; run "plessor models add ${id}"`,
    placeLacks: (place: string, file: string) =>
      `${place} has no ${file}; give the folder that holds the files of the model`,
    debianLacks: (place: string, file: string, name: string) =>
      `${place} has no ${file}; install it with "apt-get install ${name}"`,
  },
};

export type CommandLineMessages = Readonly<typeof english>;

const byLanguage: Readonly<Record<LanguageId, CommandLineMessages>> = { en: english };
export const commandLine: CommandLineMessages = byLanguage[chosenLanguage];
