import type { Mark, Program } from './program.ts';

/** A mark and how many words had been read when it was met. */
export interface Placed {
  readonly mark: Mark;
  readonly at: number;
}

/** One way to read a sentence. */
export type Reading = readonly Placed[];

/** What a reading says, in its order. */
export const tagsOf = (reading: Reading): readonly string[] =>
  reading.flatMap(({ mark }) => (mark.is === 'tag' ? mark.text : []));

interface Trail {
  readonly placed: Placed;
  readonly before: Trail | undefined;
}

/**
 * Reads words by a program: all threads in step, one word at a time, so the time is the number of
 * words times the size of the program. Where a sentence can be read in several ways, the way whose
 * alternatives stand first in the grammar wins.
 *
 * @returns the reading, or undefined when the words are not a sentence
 */
export function match(program: Program, words: readonly string[]): Reading | undefined {
  return run(program, words).reading;
}

/** How many of the words, from the first, could be the beginning of a sentence. */
export function reach(program: Program, words: readonly string[]): number {
  return run(program, words).reached;
}

function run(
  program: Program,
  words: readonly string[],
): { readonly reading: Reading | undefined; readonly reached: number } {
  let threads = spread(program, [{ step: 0, trail: undefined }], 0);
  for (const [i, word] of words.entries()) {
    const next = [];
    for (const { step, trail } of threads) {
      const now = program[step];
      if (now?.op === 'word' && now.word === word) next.push({ step: step + 1, trail });
    }
    if (next.length === 0) return { reading: undefined, reached: i };
    threads = spread(program, next, i + 1);
  }
  const done = threads.find(({ step }) => program[step]?.op === 'end');
  return { reading: done && walked(done.trail), reached: words.length };
}

interface Thread {
  readonly step: number;
  readonly trail: Trail | undefined;
}

/** Follows every step that takes no word, best first; the first thread to reach a step keeps it. */
function spread(program: Program, from: readonly Thread[], at: number): readonly Thread[] {
  const seen = new Set<number>();
  const waiting: Thread[] = [];
  const open: Thread[] = [...from].reverse();
  for (let thread = open.pop(); thread !== undefined; thread = open.pop()) {
    const { step, trail } = thread;
    if (seen.has(step)) continue;
    seen.add(step);
    const now = program[step];
    switch (now?.op) {
      case 'mark':
        open.push({ step: step + 1, trail: { placed: { mark: now.mark, at }, before: trail } });
        break;
      case 'fork':
        for (const to of now.to.toReversed()) open.push({ step: step + to, trail });
        break;
      case 'again':
        open.push({ step: step + now.on, trail }, { step: step + now.to, trail });
        break;
      default:
        waiting.push(thread);
    }
  }
  return waiting;
}

function walked(trail: Trail | undefined): Reading {
  const marks: Placed[] = [];
  for (let t = trail; t !== undefined; t = t.before) marks.push(t.placed);
  return marks.reverse();
}
