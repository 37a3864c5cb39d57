import { beforeEach, describe, expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { createOwnVoice, type OwnVoice } from '../../src/app/ownVoice.ts';

const { words } = english();

describe('what the program said itself', () => {
  let clock: number;
  let own: OwnVoice;
  beforeEach(() => {
    clock = 10_000;
    own = createOwnVoice(words, () => clock);
    own.speaking('Right patellar three plus. Left, two plus.');
    clock += 2000;
    own.speaking('');
  });
  /** What is heard so long after its last word. */
  const heard = (afterMs: number, text: string): boolean => {
    clock += afterMs;
    own.began();
    return own.is(words(text));
  };

  test('comes back late, whole or in part', () => {
    expect(heard(800, 'right patellar three plus')).toBe(true);
    expect(heard(0, 'left two plus')).toBe(true);
  });
  test('is no examiner who says the same after a while', () => {
    expect(heard(1600, 'right patellar three plus')).toBe(false);
  });
  test('has no other grade, side, site or command in it', () => {
    for (const text of [
      // Its words are all in what was said, in that order, but not one after the other.
      'right patellar two plus',
      'left patellar three plus',
      'right biceps three plus',
      'correction right patellar three plus',
      'correction three plus',
      'patellar not tested on the right',
    ]) {
      expect(heard(0, text), text).toBe(false);
    }
  });
  test('a word or two that it named are the examiner’s', () => {
    own.speaking('Say affirm, or correct.');
    own.speaking('');
    expect(heard(0, 'affirm')).toBe(false);
  });
  test('is heard while it speaks, too', () => {
    clock += 5000;
    own.speaking('Left ankle jerk one plus.');
    expect(heard(700, 'left ankle jerk one plus')).toBe(true);
    expect(heard(0, 'right patellar three plus')).toBe(false);
  });
});
