import { readFileSync } from 'node:fs';
import { describe, expect, test, vi } from 'vitest';
import { english } from '../../src/app/language.ts';
import { createLearning } from '../../src/app/learning.ts';
import { loadFit, storeFit } from '../../src/app/settings.ts';
import { type EntryId, type ExamEvent, ms } from '../../src/exam/index.ts';
import { interpret } from '../../src/interpret/index.ts';
import type { Fit, Fitting } from '../../src/ports.ts';

const fit: Fit = { of: 'weights', replies: 12, scale: [1, 1.1], shift: [0, -0.25] };

/** A browser's store, in memory. */
function memory(kept: Record<string, string> = {}) {
  return {
    kept,
    getItem: (key: string) => kept[key] ?? null,
    setItem: (key: string, value: string) => {
      kept[key] = value;
    },
    removeItem: (key: string) => {
      delete kept[key];
    },
  };
}

/** An ear that learns after so many moments, and what was asked of it. */
function standIn(moments = 3, becomes: 'learnt' | 'nothing' = 'learnt') {
  const right: string[] = [];
  const held: string[] = [];
  const tested: string[] = [];
  const used: (Fit | undefined)[] = [];
  let busy = true;
  let left = moments;
  const fitting: Fitting = {
    hold: async (words) => held.push(words.join(' ')) - 1,
    settle: async (number, well) => (well ? right.push(held[number] ?? '') : right.length),
    test: async (_, words) => {
      // Somebody speaks when the first sentence comes.
      if (busy) {
        busy = false;
        return false;
      }
      tested.push(words.join(' '));
      return true;
    },
    learn: async () => {
      left -= 1;
      if (left > 0) return { is: 'learning' };
      return becomes === 'learnt' ? { is: 'learnt', fit } : { is: 'nothing' };
    },
    use: async (one) => {
      used.push(one);
      return one !== undefined;
    },
    forget: async () => {},
  };
  return { fitting, right, tested, used };
}

const id = (entry: number) => entry as EntryId;
const confirmed = (...entries: readonly number[]): ExamEvent => ({
  type: 'confirmed',
  at: ms(0),
  entries: entries.map(id),
  by: 'implicit',
});

function learner(fitting: Fitting, store = memory()) {
  const learnt: number[] = [];
  const learning = createLearning({
    fitting,
    store,
    render: async () => new Float32Array(160),
    idle: async () => {},
    learnt: (replies) => learnt.push(replies),
  });
  return { learning, learnt, store };
}

describe('learning how the examiner speaks', () => {
  test('takes what stood, and not what was corrected, taken back or undone', async () => {
    const { fitting, right } = standIn();
    const { learning } = learner(fitting);
    learning.heard('a', ['one'], [id(1)]);
    learning.heard('a', ['two', 'findings'], [id(2), id(3)]);
    learning.heard('a', ['wrong'], [id(4)]);
    learning.heard('a', ['gone'], [id(5)]);
    learning.heard('a', ['nothing'], []);
    learning.kept('a', confirmed(1, 2));
    await vi.waitFor(() => expect(right).toEqual(['one']));
    learning.kept('b', confirmed(3));
    learning.kept('a', { type: 'withdrawn', at: ms(0), entries: [id(5)] });
    const [entry, supersedes] = [id(6), id(4)];
    const finding = { kind: 'reflex', site: 'achilles', side: 'left', value: '2+' } as const;
    const hearing = { words: 'right' };
    learning.kept('a', { type: 'corrected', at: ms(0), entry, supersedes, finding, hearing });
    learning.kept('a', confirmed(3, 4, 5));
    await vi.waitFor(() => expect(right).toEqual(['one', 'two findings']));
    learning.heard('a', ['undone'], [id(7)]);
    learning.kept('a', { type: 'undone', at: ms(0), event: 3 });
    learning.kept('a', confirmed(7));
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(right).toEqual(['one', 'two findings']);
  });

  async function ten(becomes: 'learnt' | 'nothing', stop = false) {
    const stand = standIn(3, becomes);
    const all = learner(stand.fitting);
    for (let i = 0; i < 10; i++) {
      all.learning.heard('a', [`reply-${i}`], [id(i)]);
      all.learning.kept('a', confirmed(i));
    }
    if (stop) all.learning.stop();
    return { ...stand, ...all };
  }

  test('begins with ten replies, keeps what was learnt and uses it', async () => {
    const { learnt, store, used, tested } = await ten('learnt');
    await vi.waitFor(() => expect(learnt).toEqual([12]), 3000);
    expect(used).toEqual([fit]);
    expect(loadFit(store)).toEqual(fit);
    expect(tested.length).toBeGreaterThanOrEqual(12);
  });

  test('stays as it is where nothing was learnt, and where it was stopped', async () => {
    for (const { used, store } of [await ten('nothing'), await ten('learnt', true)]) {
      await new Promise((resolve) => setTimeout(resolve, 900));
      expect(used).toEqual([]);
      expect(store.kept).toEqual({});
    }
  });

  test('hears from the start with what was learnt before', async () => {
    const store = memory();
    storeFit(store, fit);
    const { fitting, used } = standIn();
    const { learnt } = learner(fitting, store);
    await vi.waitFor(() => expect(learnt).toEqual([12]));
    expect(used).toEqual([fit]);
  });

  test('throws away what was learnt for other weights', async () => {
    const store = memory();
    storeFit(store, fit);
    const { learnt } = learner({ ...standIn().fitting, use: async () => false }, store);
    await vi.waitFor(() => expect(learnt).toEqual([0]));
    expect(loadFit(store)).toBeUndefined();
  });

  test('what is kept is short, and anything odd is as if there were nothing', () => {
    const store = memory();
    storeFit(store, { ...fit, scale: [1 / 3] });
    expect(loadFit(store)?.scale).toEqual([0.333333]);
    storeFit(store, undefined);
    expect(loadFit(store)).toBeUndefined();
    for (const odd of ['', '{', '7', '{"of":"a"}', JSON.stringify({ ...fit, scale: ['1'] })]) {
      expect(loadFit(memory({ 'plessor-fit': odd }))).toBeUndefined();
    }
  });
});

test('each sentence of the common test is a finding', () => {
  const language = english();
  const list = new URL('../../grammars/en/hearing-test.list', import.meta.url);
  const sentences = readFileSync(list, 'utf8').trim().split('\n');
  expect(sentences.length).toBeGreaterThanOrEqual(12);
  for (const words of sentences) {
    expect(language.words(words).join(' ')).toBe(words);
    expect(interpret(language, words.split(' ')).is, words).toBe('findings');
  }
});
