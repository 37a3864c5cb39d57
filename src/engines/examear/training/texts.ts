/**
 * What the training voices read, as lines of JSON on standard output: phrases sampled from the whole
 * grammar, rows of dictionary words that mean nothing, for every other sound of English, and talk (`talk.jsgf`).
 *
 *     {"words": ["left", "biceps"], "sounds": [["L EH F T"], ["B AY S EH P S"]], "kind": "exam"}
 */
import { readdirSync, readFileSync } from 'node:fs';
import { link, ruleOf, sample } from '../../../grammar/index.ts';
import { readPronunciations } from '../../soundswallower/dictionary.ts';

const [top = '.', count = '30000', talks = '8000'] = process.argv.slice(2);
const read = (path: string): string => readFileSync(`${top}/${path}`, 'utf8');
const grammar = link(
  readdirSync(`${top}/grammars/en`)
    .filter((name) => name.endsWith('.jsgf'))
    .map((name) => ({ source: name, text: read(`grammars/en/${name}`) })),
);

const sounds = new Map<string, readonly string[]>();
for (const [word, rows] of readPronunciations(
  read('node_modules/soundswallower/model/en-us/dict.txt')
    .toLowerCase()
    .replace(/ .*$/gm, (p) => p.toUpperCase()),
)) {
  sounds.set(word, rows);
}
const general = [...sounds.keys()].filter((word) => /^[a-z]{2,10}$/.test(word));
for (const [word, rows] of readPronunciations(read('grammars/en/pronunciations.dict'))) {
  sounds.set(word, rows);
}

let seed = 20_251_125;
const pick = (below: number): number => {
  seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
  return Math.floor((seed / 0x1_0000_0000) * below);
};
const one = <T>(all: readonly T[], none: T): T => all[pick(all.length)] ?? none;

const kinds = [
  ...['reflex', 'clonus', 'plantar', 'sign', 'superficial', 'strength', 'sensation', 'context'].map(
    (kind) => `${kind}.finding`,
  ),
  ...[
    'reflex.finding',
    'strength.finding',
    'strength.finding',
    'reflex.finding',
    'sensation.finding',
  ],
  ...['exam.finding', 'exam.said', 'exam.amend', 'exam.any.reply', 'command.command'],
  ...[...grammar.rules.keys()].filter((rule) => rule.startsWith('reply.')),
].filter((rule) => {
  try {
    return ruleOf(grammar, rule) !== undefined;
  } catch {
    return false;
  }
});
process.stderr.write(`${kinds.join(' ')}\n`);

const vocabulary = new Set<string>();
const seen = new Set<string>();
const lines: string[] = [];
const say = (words: readonly string[], kind: string): void => {
  const rows = words.map((word) => sounds.get(word));
  if (words.length === 0 || rows.includes(undefined)) return;
  lines.push(JSON.stringify({ words, sounds: rows, kind }));
};
const exam = Math.floor(Number(count) * 0.66);
for (let tries = 0; lines.length < exam && tries < exam * 30; tries++) {
  const { words } = sample(grammar, one(kinds, 'exam.finding'), pick);
  for (const word of words) vocabulary.add(word);
  // Short replies may come often; long phrases once.
  const key = words.join(' ');
  if (words.length > 13 || (words.length > 3 && seen.has(key))) continue;
  seen.add(key);
  say(words, 'exam');
}
// Words that are easily taken for one another, next to each other and to what is said between them.
const hard =
  'left right two three four five six nine zero one plus minus absent present abduction adduction flexion extension inversion eversion wrist knee ankle hip elbow anterior posterior fifteen sixteen fifty sixty thirteen thirty normal equal'.split(
    ' ',
  );
const small = 'the on and is at a was in of with'.split(' ');
const roots = 'c t l s'.split(' ');
const levels = 'one two three four five six seven eight nine ten eleven twelve'.split(' ');
const contrasts = lines.length + Math.floor(Number(count) * 0.1);
while (lines.length < contrasts) {
  const row: string[] = [];
  const n = 1 + pick(4);
  for (let k = 0; k < n; k++) {
    if (pick(3) === 0) row.push(one(small, 'the'));
    if (pick(4) === 0) row.push(one(roots, 'c'), one(levels, 'one'));
    else row.push(one(hard, 'left'));
  }
  say(row, 'contrast');
}
// Findings one after another without a pause, and exam words in any order at all.
const known = [...vocabulary];
while (lines.length < Number(count)) {
  const n = 2 + pick(5);
  const mixed = pick(3) === 0;
  say(
    Array.from({ length: n }, () => one(mixed ? known : general, 'left')),
    mixed ? 'mixed' : 'other',
  );
}
// Talk as it is, which the words of an exam are part of, too; but no sentence that the demo exams have.
const talk = link([{ source: 'talk.jsgf', text: read('src/engines/examear/training/talk.jsgf') }]);
const plain = (text: string): string => text.toLowerCase().replace(/[^a-z ]/g, '');
const demo = new Set(
  readdirSync(`${top}/demo-audio-scripts`)
    .filter((name) => name.endsWith('.txt'))
    .flatMap((name) => read(`demo-audio-scripts/${name}`).split('\n'))
    .map((line) => plain(line.replace(/^.*?talk:\s*/, ''))),
);
const end = lines.length + Number(talks);
while (lines.length < end) {
  const { words } = sample(talk, 'talk.sentence', pick);
  const key = words.join(' ');
  if (words.length > 16 || seen.has(key) || demo.has(plain(key))) continue;
  seen.add(key);
  say(words, 'talk');
}
process.stdout.write(`${lines.join('\n')}\n`);
