import { describe, expect, test } from 'vitest';
import { createMouth } from '../../src/app/mouth.ts';

/** A voice whose sentences end when the test says so, in a room that keeps a diary. */
function room({ headphones = false, fails = false } = {}) {
  const diary: string[] = [];
  const ends: (() => void)[] = [];
  const mouth = createMouth({
    voice: async () => ({
      id: 'test',
      speak: (text, signal) => {
        if (fails) return Promise.reject(new Error('hoarse'));
        return new Promise<void>((resolve) => {
          ends.push(() => resolve());
          signal?.addEventListener('abort', () => {
            diary.push(`broke off ${text}`);
            resolve();
          });
        });
      },
    }),
    halfDuplex: () => !headphones,
    mute: (muted) => diary.push(muted ? 'ear shut' : 'ear open'),
    speaking: (text) => diary.push(text === '' ? 'quiet' : text),
  });
  const settle = () => new Promise((resolve) => setTimeout(resolve, 5));
  return {
    diary,
    mouth,
    settle,
    async end() {
      ends.shift()?.();
      await settle();
    },
  };
}
const tail = () => new Promise((resolve) => setTimeout(resolve, 500));

describe('half duplex', () => {
  test('the ear is shut before the first word and opens after the last', async () => {
    const { mouth, diary, settle, end } = room();
    mouth.say('Right patellar three plus.');
    mouth.say('Left ankle jerk: which grade?');
    await settle();
    expect(diary).toEqual(['ear shut', 'Right patellar three plus.']);
    await end();
    expect(diary.at(-1)).toBe('Left ankle jerk: which grade?');
    await end();
    expect(diary.at(-1)).toBe('quiet');
    await tail();
    expect(diary.at(-1)).toBe('ear open');
    expect(diary.filter((line) => line === 'ear shut')).toHaveLength(1);
  });
  test('with headphones it listens on', async () => {
    const { mouth, diary, settle } = room({ headphones: true });
    mouth.say('Standing by.');
    await settle();
    expect(diary).toEqual(['Standing by.']);
  });
});

test('a new turn breaks off the one before it', async () => {
  const { mouth, diary, settle } = room();
  mouth.say('Right patellar three plus.');
  await settle();
  mouth.say('Corrected.');
  await settle();
  expect(diary).toContain('broke off Right patellar three plus.');
  expect(diary.at(-1)).toBe('Corrected.');
});

test('hush stops it in mid sentence, and the ear opens', async () => {
  const { mouth, diary, settle } = room();
  mouth.say('Left, right or both?');
  await settle();
  mouth.hush();
  await tail();
  expect(diary.slice(-3)).toEqual(['broke off Left, right or both?', 'quiet', 'ear open']);
});

test('a voice that fails leaves the ear open', async () => {
  const { mouth, diary } = room({ fails: true });
  mouth.say('Left, right or both?');
  await mouth.quiet();
  await tail();
  expect(diary.slice(-2)).toEqual(['quiet', 'ear open']);
});
