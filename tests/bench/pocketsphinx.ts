import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { pronunciations } from '../../src/app/pronunciations.ts';
import { spokenLanguage } from '../../src/cli/language.ts';
import { match, printFsg, tagsOf, wordsOf } from '../../src/grammar/index.ts';
import { percent } from './tally.ts';

const program = '/usr/bin/pocketsphinx_batch';
const model = '/usr/share/pocketsphinx/model/en-us';

/** What an examiner said, the sound of it, and what was heard of it here. */
export interface Heard {
  readonly said: string;
  readonly heard: readonly string[];
  readonly sound: Float32Array;
}

/**
 * The same sound decoded by Debian's PocketSphinx with its 16 kHz model on the same weighted
 * grammar, beside what was heard here: how many utterances mean what was said, before anything is
 * asked or passed over.
 */
export async function besidePocketsphinx(
  utterances: readonly Heard[],
  own: { readonly audioMs: number; readonly decodeMs: number },
): Promise<readonly string[]> {
  if (!existsSync(program) || !existsSync(model)) {
    return [
      '(no PocketSphinx beside it: Debian packages pocketsphinx and pocketsphinx-en-us are not installed)',
    ];
  }
  const language = spokenLanguage();
  const folder = await mkdtemp(join(tmpdir(), 'plessor-peer-'));
  try {
    const network = language.network('exam.open');
    const file = (name: string): string => join(folder, name);
    await writeFile(file('exam.fsg'), printFsg(network, 'exam'));
    await writeFile(file('exam.dict'), await dictionary(wordsOf(network)));
    await writeFile(file('all.ctl'), utterances.map((_, i) => `u${i}\n`).join(''));
    let seconds = 0;
    for (const [i, { sound }] of utterances.entries()) {
      seconds += sound.length / 16_000;
      const samples = Int16Array.from(sound, (s) =>
        Math.max(-32_768, Math.min(32_767, s * 32_767)),
      );
      await writeFile(file(`u${i}.raw`), new Uint8Array(samples.buffer));
    }
    const before = process.hrtime.bigint();
    // The beams and the weight of language that are used here.
    const settings = '-beam 1e-80 -wbeam 1e-60 -pbeam 1e-80 -lw 3 -compallsen yes';
    await promisify(execFile)(
      program,
      [
        ...`-adcin yes -cepext .raw -adchdr 0 ${settings}`.split(' '),
        ...['-hmm', join(model, 'en-us'), '-dict', file('exam.dict'), '-fsg', file('exam.fsg')],
        ...['-ctl', file('all.ctl'), '-cepdir', folder, '-hyp', file('all.hyp')],
        ...['-logfn', file('log')],
      ],
      { maxBuffer: 1 << 26 },
    );
    const wallMs = Number(process.hrtime.bigint() - before) / 1e6;
    const heard = (await readFile(file('all.hyp'), 'utf8')).split('\n').map((line) =>
      line
        .replace(/\s*\([^()]*\)\s*$/, '')
        .split(' ')
        .map((word) => word.replace(/\(\d+\)$/, ''))
        .filter((word) => word !== ''),
    );
    const tags = (words: readonly string[]): string | undefined => {
      const reading = match(language.program('exam.open'), words);
      return reading && tagsOf(reading).join(' ');
    };
    const right = (of: (i: number) => readonly string[]): number =>
      utterances.filter(({ said }, i) => {
        const meant = tags(of(i));
        return meant !== undefined && meant === tags(language.words(said));
      }).length;
    const ours = right((i) => utterances[i]?.heard ?? []);
    const theirs = right((i) => heard[i] ?? []);
    return [
      '',
      `utterances that mean what was said, of ${utterances.length}, before anything is asked:`,
      `  here          ${ours} (${percent(ours, utterances.length)}), real-time factor ${(own.decodeMs / own.audioMs).toFixed(3)} of the whole exam, a second hearing included`,
      `  PocketSphinx  ${theirs} (${percent(theirs, utterances.length)}), real-time factor ${(wallMs / 1000 / seconds).toFixed(3)} of the utterances, loading included`,
    ];
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Sounds of the grammar's words: the project's own, else those of the model's dictionary. */
async function dictionary(words: readonly string[]): Promise<string> {
  const general = new Map<string, string[]>();
  const text = await readFile(join(model, 'cmudict-en-us.dict'), 'utf8');
  for (const line of text.split('\n')) {
    const [spelling = '', ...phones] = line.split(' ');
    const word = spelling.replace(/\(\d+\)$/, '');
    general.set(word, [...(general.get(word) ?? []), phones.join(' ')]);
  }
  const own = pronunciations();
  return words
    .flatMap((word) =>
      (own.get(word) ?? general.get(word) ?? []).map(
        (phones, i) => `${i === 0 ? word : `${word}(${i + 1})`} ${phones}\n`,
      ),
    )
    .join('');
}
