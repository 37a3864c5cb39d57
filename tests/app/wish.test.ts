import { readFileSync } from 'node:fs';
import { computed, signal } from '@preact/signals';
import { beforeEach, describe, expect, test } from 'vitest';
import { createExam, type Exam } from '../../src/app/exam.ts';
import { english } from '../../src/app/language.ts';
import { callsOf } from '../../src/app/phrases.ts';
import { defaultSettings } from '../../src/app/settings.ts';
import { createWishes } from '../../src/app/wish.ts';
import { gapName, ms, standingFindings } from '../../src/exam/index.ts';
import { interpret } from '../../src/interpret/index.ts';
import type { Settings } from '../../src/ui/index.ts';

const language = english();

describe('what is said to the room is understood', () => {
  const cases = readFileSync(new URL('../../grammars/en/cases/room.txt', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line.includes('==>'))
    .map((line) => line.split(/\s*==>\s*/));
  test.each(cases)('%s', (said = '', wanted = '') => {
    const meaning = interpret(language, language.words(said));
    expect(meaning).toEqual({ is: 'command', command: wanted.slice(2) });
  });
});

/** An exam in a room, told words; what is spoken is kept. */
function room(kept: boolean, wishes: Partial<Settings> = {}) {
  const settings = signal<Settings>({ ...defaultSettings, ...wishes });
  const spoken: string[] = [];
  const signed: number[] = [];
  const marks: string[] = [];
  const shown: string[] = [];
  let begun = 0;
  let forgotten = 0;
  let clock = 0;
  const exam: Exam = createExam({
    language,
    now: () => ms(clock),
    mouth: { say: (text) => spoken.push(text), hush: () => {}, quiet: async () => {} },
    settings,
    help: () => {},
    question: () => marks.push('question'),
    recorded: () => marks.push('recorded'),
    wish: (command, sure) => granted.grant(command, sure),
    records: () => {},
    keep: () => undefined,
    localizer: { prepare: () => {}, localize: async () => undefined as never },
    notice: () => {},
    planDone: 'Nothing is left.',
    watchText: () => 'Examine again.',
  });
  const granted = createWishes({
    settings,
    calls: callsOf(language),
    dialogue: exam.dialogue,
    left: computed(() => exam.left.value),
    unsaved: () => !kept,
    plan: (id) => exam.plan(id),
    show: (panel) => shown.push(panel),
    say: (words) => exam.type(words),
    forgetVoice: () => {
      forgotten += 1;
    },
    beginAnyway: () => {
      begun += 1;
      exam.begin();
    },
    signed: (length) => signed.push(length),
    percent: (p) => `${Math.round(p * 100)} per cent`,
  });
  let lead = settings.peek().lead;
  settings.subscribe((now) => {
    if (now.lead !== lead) {
      lead = now.lead;
      exam.lead();
    }
    exam.strict();
  });
  return {
    exam,
    settings,
    spoken,
    signed,
    marks,
    shown,
    begun: () => begun,
    forgotten: () => forgotten,
    async minutes(more: number) {
      clock += more * 60_000;
      exam.tick();
    },
    async say(...utterances: readonly string[]) {
      for (const words of utterances) {
        exam.type(words);
        await Promise.resolve();
        await Promise.resolve();
      }
    },
    doubted(words: string) {
      exam.hear({
        words: language.words(words),
        startMs: 1,
        endMs: 2,
        confidence: 0.5,
        certainty: 'unsure',
      });
    },
    values: () => standingFindings(exam.dialogue.peek().record).map(({ value }) => value),
  };
}

describe('a whole exam by voice alone', () => {
  let here: ReturnType<typeof room>;
  beforeEach(() => {
    here = room(true);
  });

  test('the plan is chosen, Plessor prompts, the examiner leads again', async () => {
    await here.say('plan magnesium watch', 'prompt me');
    expect(here.spoken.at(-1)).toMatch(/Patellar/i);
    await here.say('left one plus', 'right one plus');
    expect(here.exam.dialogue.peek().expected?.site).toBe('respiratory-difficulty');
    await here.say('I lead');
    expect(here.exam.dialogue.peek().expected).toBeUndefined();
    expect(here.values()).toEqual(['1+', '1+']);
  });

  test('an open question is answered by the number on the screen', async () => {
    await here.say('patellar three plus', 'choice two');
    expect(standingFindings(here.exam.dialogue.peek().record)).toMatchObject([
      { site: 'patellar', side: 'right', value: '3+' },
    ]);
    await here.say('choice two');
    expect(here.exam.said.peek().at(-1)?.readBack).toMatch(/no choice 2/);
  });

  test('signing off completes, reads back what is open, and only then signs', async () => {
    await here.say('right patellar three plus', 'sign off');
    expect(here.signed).toEqual([]);
    expect(here.spoken.at(-1)).toMatch(/Not yet confirmed.*three plus/);
    await here.say('sign off');
    expect(here.signed).toEqual([here.exam.dialogue.peek().record.events.length]);
    // What comes after the end is read back before it is signed, too.
    await here.say('left patellar one plus', 'sign off');
    expect(here.signed).toHaveLength(1);
    await here.say('sign off');
    expect(here.signed).toHaveLength(2);
  });

  test('the next patient waits for a yes where the exam is not complete', async () => {
    await here.say('right patellar three plus', 'next patient');
    expect(here.begun()).toBe(0);
    await here.say('affirm');
    expect(here.begun()).toBe(1);
    expect(here.values()).toEqual([]);
  });

  test('a yes to something else lets no exam go', async () => {
    await here.say('right patellar three plus', 'next patient', 'left patellar two plus', 'affirm');
    expect(here.begun()).toBe(0);
    expect(here.values()).toEqual(['3+', '2+']);
  });

  test('what was heard with doubt neither signs nor begins', async () => {
    await here.say('right patellar two plus', 'affirm', 'exam complete');
    here.doubted('sign off');
    here.doubted('next patient');
    await Promise.resolve();
    expect(here.signed).toEqual([]);
    expect(here.begun()).toBe(0);
  });

  test('an exam that is kept nowhere is not let go at once, complete or not', async () => {
    const lost = room(false);
    await lost.say('right patellar two plus', 'affirm', 'exam complete', 'next patient');
    expect(lost.begun()).toBe(0);
    await lost.say('negative');
    expect(lost.values()).toEqual(['2+']);
  });

  test('while standing by only "go on" is taken', async () => {
    await here.say('stand by', 'voice off', 'next patient');
    expect(here.settings.peek().voice).toBe('auto');
    await here.say('go on', 'voice off');
    expect(here.settings.peek().voice).toBe('silent');
  });
});

test('the examiner’s voice is learnt, no more, or forgotten, none of it begun on a doubt', async () => {
  const here = room(true);
  here.doubted('learn my voice');
  await Promise.resolve();
  expect(here.settings.peek().learn).toBe(false);
  await here.say('learn my voice');
  expect(here.settings.peek().learn).toBe(true);
  here.doubted('forget my voice');
  await here.say('stop learning my voice');
  expect(here.settings.peek().learn).toBe(false);
  expect(here.forgotten()).toBe(0);
  await here.say('forget my voice');
  expect(here.forgotten()).toBe(1);
});

describe('the voice by the examiner’s wish', () => {
  test('pace and loudness move in steps and stay in bounds; softer is never silent', async () => {
    const here = room(true);
    for (let i = 0; i < 6; i++) await here.say('voice faster', 'voice softer');
    expect(here.settings.peek()).toMatchObject({ pace: 1.6, volume: 0.2 });
  });

  test('routine findings may be shown only; what is abnormal or unequal is always spoken', async () => {
    const here = room(true, { aloud: 'costly' });
    await here.say('right patellar two plus');
    expect([here.spoken, here.marks]).toEqual([[], ['recorded']]);
    expect(here.exam.said.peek().at(-1)?.readBack).toMatch(/patellar two plus/);
    await here.say('left patellar three plus');
    expect(here.spoken.at(-1)).toMatch(/three plus/);
  });

  test('spoken at the end only: findings make no speech, a question and the end do', async () => {
    const here = room(true);
    await here.say('speak at the end', 'left patellar three plus');
    expect(here.spoken.join()).not.toMatch(/three plus/);
    await here.say('biceps two plus');
    expect(here.spoken.at(-1)).toMatch(/left, right or both/i);
    await here.say('disregard', 'exam complete');
    expect(here.spoken.at(-1)).toMatch(/three plus/);
  });

  test('how strictly to confirm is told and kept to', async () => {
    const here = room(true);
    await here.say('confirm every finding', 'left patellar two plus', 'right patellar two plus');
    const { entries } = here.exam.dialogue.peek().record;
    expect(entries.map(({ standing }) => standing.is)).toEqual(['open', 'open']);
  });

  test('the attention word is chosen by voice, told with its words, and let go again', async () => {
    const here = room(true);
    await here.say('attention word for the record');
    expect(here.settings.value.attention).toBe('record');
    expect(here.spoken.at(-1)).toMatch(/“for the record”/);
    await here.say('attention word off');
    expect(here.settings.value.attention).toBe('');
  });

  test('a key is used and left by voice; without one chosen nobody is shut out', async () => {
    const here = room(true);
    await here.say('listen by key');
    expect(here.settings.value.key.use).toBe('none');
    expect(here.shown).toEqual(['settings']);
    here.settings.value = {
      ...here.settings.value,
      key: { use: 'switched', code: 'F8', name: 'F8' },
    };
    await here.say('listen without a key');
    expect(here.settings.value.key).toEqual({ use: 'none', code: 'F8', name: 'F8' });
    await here.say('listen by key');
    expect(here.settings.value.key).toEqual({ use: 'held', code: 'F8', name: 'F8' });
    expect(here.spoken.at(-1)).toMatch(/F8/);
  });

  test('where am I: the plan, who leads, what is left, what waits', async () => {
    const here = room(true);
    await here.say('plan reflexes', 'right patellar three plus', 'where am I');
    expect(here.spoken.at(-1)).toMatch(/Reflexes only.*You lead.*\d+ left.*1 to confirm/);
  });
});

describe('a watch is repeated by the clock', () => {
  test('an hour after its latest finding every item is asked for again, whoever leads', async () => {
    const here = room(true);
    await here.say('plan magnesium watch', 'patellar two plus on both sides');
    await here.minutes(61);
    // Breathing was not told yet: the first round is not over.
    expect(here.spoken).not.toContain('Examine again.');
    await here.say('no respiratory difficulty');
    await here.minutes(59);
    expect(here.spoken).not.toContain('Examine again.');
    await here.minutes(1);
    expect(here.spoken).toContain('Examine again.');
    const asked = () => here.exam.dialogue.peek().expected?.site;
    expect(asked()).toBe('patellar');
    await here.say('left one plus', 'right one plus');
    expect(asked()).toBe('respiratory-difficulty');
    await here.say('absent');
    expect(asked()).toBeUndefined();
    // The earlier grades stay in the record as superseded.
    const { entries } = here.exam.dialogue.peek().record;
    expect(entries.filter(({ standing }) => standing.is === 'superseded')).not.toHaveLength(0);
    expect(here.values()).toContain('1+');
    await here.minutes(61);
    expect(asked()).toBe('patellar');
  });

  test('after the exam is complete the clock asks for nothing', async () => {
    const here = room(true);
    await here.say(
      'plan magnesium watch',
      'patellar two plus on both sides',
      'no respiratory difficulty',
      'exam complete',
    );
    await here.minutes(120);
    expect(here.spoken).not.toContain('Examine again.');
  });
});

describe('a plan of one’s own', () => {
  const own = ['reflex:achilles', 'reflex:patellar', 'sensation:great-toe/vibration'];

  test('is chosen by voice and prompted along like the others', async () => {
    const here = room(true, { own });
    await here.say('plan my own', 'prompt me');
    expect(here.exam.left.peek().map((gap) => gapName(gap))).toEqual([
      'patellar',
      'ankle jerk',
      'great toe, vibration',
    ]);
    expect(here.spoken.at(-1)).toMatch(/Patellar/);
    await here.say('two plus on both sides', 'absent on both sides', 'reduced on both sides');
    expect(here.exam.left.peek()).toEqual([]);
    expect(here.values()).toEqual(['2+', '2+', '0', '0', 'reduced', 'reduced']);
  });

  test('a record tells what was to be examined, though the plan was changed since', async () => {
    const here = room(true, { own });
    await here.say('plan my own');
    here.settings.value = { ...here.settings.peek(), own: ['reflex:jaw'] };
    expect(here.exam.left.peek()).toHaveLength(3);
    expect(here.exam.report().notExamined).toContain('ankle jerk');
  });

  test('without items there is none: its panel opens, and the plan stays', async () => {
    const here = room(true);
    const { plan } = here.exam.dialogue.peek().record;
    await here.say('plan my own');
    expect(here.exam.dialogue.peek().record.plan).toBe(plan);
    expect(here.shown).toEqual(['plan']);
    await here.say('make my own plan');
    expect(here.shown).toEqual(['plan', 'plan']);
  });
});

describe('a microphone check', () => {
  test('is opened by voice', async () => {
    const here = room(true);
    await here.say('microphone check');
    expect(here.shown).toEqual(['check']);
  });
});
