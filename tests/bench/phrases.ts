import { parseFinding, type Said, type Script } from '../../demo-audio-scripts/index.ts';
import { english } from '../../src/app/language.ts';
import type { Finding } from '../../src/exam/index.ts';
import { draws } from '../../src/grammar/index.ts';
import { interpret } from '../../src/interpret/index.ts';

const cases = import.meta.glob<string>('../../grammars/en/cases/*.txt', {
  query: '?raw',
  import: 'default',
  eager: true,
});

const perExam = 40;
const drawn = 160;
const mostWords = 12;

/** Commands that leave the exam as it was. */
const harmless = ['confirm', 'say-again', 'read-back', 'what-is-left', 'help'];

/**
 * Phrases that no demo exam holds, in exams of forty, for reading calibration off: half of them the
 * grammar's own cases, half drawn from it, and in between what must not be understood.
 */
export function phraseScripts(): readonly Script[] {
  const language = english();
  const said: Said[] = [];
  const examiner = (words: string, findings: readonly Finding[]): void => {
    said.push({ is: 'said', by: 'examiner', words, findings, command: undefined, line: 0 });
  };
  const lines = Object.entries(cases).flatMap(([path, text]) =>
    text.split('\n').map((line) => ({ misses: path.endsWith('misses.txt'), line: line.trim() })),
  );
  for (const { misses, line } of lines) {
    if (line === '' || line.startsWith('#')) continue;
    if (misses) {
      said.push({
        is: 'said',
        by: 'patient-talk',
        words: line,
        findings: [],
        command: undefined,
        line: 0,
      });
      continue;
    }
    const [words = '', expected = ''] = line.split('==>').map((part) => part.trim());
    // Typed short forms are not what a voice reads, and a correction needs what went before.
    if (/[^a-z ']/.test(words) || words.startsWith('correction')) continue;
    const findings = expected.split(';').map((one) => parseFinding(one));
    const good = findings.flatMap((one) => (one.ok ? [one.value] : []));
    if (good.length === findings.length) examiner(words, good);
  }
  let kept = 0;
  for (const words of draws(language.grammar, 'exam.open', drawn * 20, 99)) {
    if (kept === drawn) break;
    if (words.length < 2 || words.length > mostWords) continue;
    const meaning = interpret(language, words);
    if (meaning.is !== 'findings' || meaning.questions.length > 0 || meaning.corrects) continue;
    if (meaning.findings.some(({ value }) => value === 'not-tested')) continue;
    examiner(words.join(' '), meaning.findings);
    kept += 1;
  }
  for (const { words, tags } of language.sentences('command.command') ?? []) {
    const command = harmless.find((one) => tags.join(' ') === `command=${one}`);
    if (command === undefined) continue;
    said.push({
      is: 'said',
      by: 'command',
      words: words.join(' '),
      findings: [],
      command,
      line: 0,
    });
  }
  // Every seventh after the other, so that kinds are mixed.
  const mixed = Array.from({ length: 7 }, (_, k) => said.filter((_, i) => i % 7 === k)).flat();
  return Array.from({ length: Math.ceil(mixed.length / perExam) }, (_, i) => ({
    name: `phrases-${i + 1}`,
    title: 'Phrases',
    note: '',
    lines: mixed.slice(i * perExam, (i + 1) * perExam),
    sites: [],
  }));
}
