import { beforeEach, describe, expect, test } from 'vitest';
import { type Check, createCheck } from '../../src/app/check.ts';
import { english } from '../../src/app/language.ts';
import { findingName } from '../../src/exam/index.ts';

const language = english();

describe('a trial of the microphone', () => {
  let spoken: string[];
  let check: Check;
  beforeEach(() => {
    spoken = [];
    check = createCheck({ language, say: (text) => spoken.push(text) });
  });
  const say = (text: string, certainty: 'sure' | 'unsure' | 'foreign' = 'sure') =>
    check.hear({ words: text.split(' '), startMs: 0, endMs: 900, confidence: 1, certainty });

  test('shows and says what was heard', () => {
    expect(say('right patellar two plus')).toBe('goes on');
    expect(check.heard.peek()?.findings.map((finding) => findingName(finding))).toEqual([
      'right patellar 2+',
    ]);
    expect(spoken).toEqual(['I heard: Right patellar two plus. Not recorded.']);
  });
  test('tells of doubt', () => {
    say('right patellar two plus', 'unsure');
    expect(check.heard.peek()).toMatchObject({ sure: false, heard: 'right patellar two plus' });
  });
  test('shows talk and answers it with nothing', () => {
    say('right patellar two plus', 'foreign');
    expect(check.heard.peek()).toMatchObject({ findings: [] });
    expect(spoken).toEqual([]);
  });
  test('ends at "go on", unless that was heard with doubt', () => {
    expect(say('go on', 'unsure')).toBe('goes on');
    expect(say('go on')).toBe('over');
  });
  test('begins anew each time it is opened', () => {
    say('right patellar two plus');
    check.begin();
    expect(check.heard.peek()).toBeUndefined();
  });
});
