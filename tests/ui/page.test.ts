import { describe, expect, test } from 'vitest';
import { english as grammar } from '../../src/app/language.ts';
import { createLoudness } from '../../src/app/loudness.ts';
import { phrasesOf } from '../../src/app/phrases.ts';
import { createSession } from '../../src/app/session.ts';
import { defaultSettings, loadSettings, storeSettings } from '../../src/app/settings.ts';
import { findingName, kinds, ms } from '../../src/exam/index.ts';
import { interpret } from '../../src/interpret/index.ts';
import { english, standingOf, tableOf } from '../../src/ui/index.ts';

const language = grammar();
function exam(...said: readonly string[]) {
  const session = createSession({
    language,
    now: () => ms(0),
    say: () => {},
    hush: () => {},
    keep: () => {},
    help: () => {},
    changed: () => {},
  });
  for (const words of said) session.type(words);
  return session;
}

describe('what can be said', () => {
  const phrases = phrasesOf(language, english);
  test('has examples of every kind of finding, and the commands', () => {
    const groups = new Set(phrases.map(({ group }) => group));
    expect(groups).toEqual(new Set([...kinds.map((kind) => english.kinds[kind]), 'Commands']));
  });
  test('means what the list says when it is said', () => {
    for (const { words, means, group } of phrases) {
      const meaning = interpret(language, words.split(' '));
      if (group === 'Commands') {
        expect(meaning, words).toMatchObject({ is: 'command' });
        const command = meaning.is === 'command' ? meaning.command : '';
        expect(means, words).toBe(english.commands[command]);
        expect(means, words).not.toBe('');
      } else {
        const said =
          meaning.is === 'findings'
            ? meaning.findings.map((finding) => findingName(finding)).join('; ')
            : '';
        expect(said, words).toBe(means);
      }
    }
  });
});

describe('the record as a table', () => {
  test('sets left beside right and marks what differs', () => {
    const [group] = tableOf(exam('right patellar 3+, left 2+').state.record, english.report);
    const [row] = group?.rows ?? [];
    expect(row).toMatchObject({ name: 'patellar', unequal: true, single: false });
    expect(row?.cells.left.now[0]?.finding.value).toBe('2+');
    expect(row?.cells.right.now[0]?.finding.value).toBe('3+');
    expect(row?.cells.right.abnormal).toBe(true);
  });
  test('keeps what was corrected or taken back in sight', () => {
    const [group] = tableOf(
      exam('left patellar 2+', 'correction 3+', 'disregard').state.record,
      english.report,
    );
    const before = group?.rows[0]?.cells.left.before ?? [];
    expect(before.map(({ finding, standing }) => `${finding.value} ${standing.is}`)).toEqual([
      '2+ superseded',
      '3+ withdrawn',
    ]);
  });
  test('keeps both places when the side was corrected', () => {
    const [group] = tableOf(
      exam('right ankle jerk 1+', 'correction left').state.record,
      english.report,
    );
    const cells = group?.rows[0]?.cells;
    expect(cells?.right.before).toHaveLength(1);
    expect(cells?.left.now).toHaveLength(1);
  });
  test('has one cell for what has no sides', () => {
    const [group] = tableOf(exam('jaw jerk 2+').state.record, english.report);
    expect(group?.rows[0]?.single).toBe(true);
  });
});

describe('the state at a glance', () => {
  const now = {
    source: { is: 'microphone' },
    engine: { is: 'ready' },
    deaf: false,
    speaking: false,
    mode: 'listening',
    key: 'none',
  } as const;
  test.each([
    ['listening', {}],
    ['speaking', { speaking: true }],
    ['standing-by', { mode: 'paused' }],
    ['deaf', { deaf: true }],
    ['loading', { engine: { is: 'loading' } }],
    ['lost', { engine: { is: 'missing', fault: 'The model is not there.' } }],
    ['lost', { source: { is: 'lost', why: 'unplugged' } }],
    ['off', { source: { is: 'none' } }],
    ['loading', { source: { is: 'none' }, engine: { is: 'loading' } }],
    ['asking', { source: { is: 'asking' } }],
    ['key-up', { key: 'up' }],
    ['listening', { key: 'down' }],
    ['standing-by', { key: 'up', mode: 'paused' }],
    ['off', { key: 'up', source: { is: 'none' } }],
    ['playing', { key: 'up', source: { is: 'recording', name: 'b.wav' } }],
    ['playing', { source: { is: 'recording', name: 'a.wav' } }],
  ] as const)('%s', (standing, change) => {
    expect(standingOf({ ...now, ...change })).toBe(standing);
  });
});

describe('loudness', () => {
  const rate = 16_000;
  const sound = (level: number) => new Float32Array(rate).fill(level);
  test('rises with sound and stays within the meter', () => {
    const loudness = createLoudness(rate);
    const [quiet, speech, shout] = [0.001, 0.05, 1].map((level) => loudness.take(sound(level)));
    expect(quiet).toBeLessThan(speech ?? 0);
    expect(speech).toBeLessThan(shout ?? 0);
    expect(shout).toBe(1);
  });
  test('seconds of nothing are told, and end with the first sound', () => {
    const loudness = createLoudness(rate);
    for (let second = 0; second < 5; second++) loudness.take(sound(0));
    expect(loudness.deaf).toBe(false);
    loudness.take(sound(0));
    expect(loudness.deaf).toBe(true);
    loudness.take(sound(0.01));
    expect(loudness.deaf).toBe(false);
  });
});

describe('what the browser remembers', () => {
  const kept = (text: string) => loadSettings({ getItem: () => text });
  test('comes back as it was set', () => {
    let text = '';
    const own = ['reflex:patellar', 'sensation:L5/pinprick'];
    const settings = {
      ...defaultSettings,
      theme: 'dark',
      pace: 1.3,
      headphones: true,
      key: { use: 'held', code: 'F13', name: 'F13' },
      attention: 'record',
      own,
    } as const;
    storeSettings({ setItem: (_key, value) => (text = value) }, settings);
    expect(kept(text)).toEqual(settings);
  });
  test.each([
    '',
    'nonsense',
    '[]',
    'null',
    '{"pace":99,"theme":"pink","volume":"loud"}',
    '{"own":"all"}',
    '{"own":["reflex:wing",3]}',
    '{"key":"held"}',
    '{"attention":3}',
    '{"key":{"use":"always","code":7}}',
    '{"key":{"use":"none","code":"Tab","name":"Tab"}}',
  ])('is passed over where it is odd: %j', (text) => {
    expect(kept(text)).toEqual(defaultSettings);
  });
});
