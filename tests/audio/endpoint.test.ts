import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  advance,
  createEndpointer,
  type Endpointer,
  type EndpointerEvent,
  frameMs,
  quiet,
  usualEndpoints,
} from '../../src/audio/endpoint.ts';
import { joined, type Sound } from '../../src/ports.ts';
import { pieces, silence, spoken } from '../engines/speech.ts';

/** Noise of a steady level, peak to peak, from a small generator with a seed. */
function noise(ms: number, height: number, seed = 1): Sound {
  let state = seed;
  return silence(ms).map(() => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state / 0x1_0000_0000 - 0.5) * height;
  });
}
const over = (sound: Sound, other: Sound): Sound => sound.map((x, i) => x + (other[i] ?? 0));

function cut(sound: Sound, endpointer: Endpointer = createEndpointer(), size = 37) {
  const events: EndpointerEvent[] = pieces(sound, size).flatMap((piece) => [
    ...endpointer.push(piece),
  ]);
  events.push(...endpointer.flush());
  return events;
}

/** Utterances by where they begin and end, in samples, with their sound. */
function utterances(events: readonly EndpointerEvent[]) {
  const all: { from: number; to: number; sound: Sound }[] = [];
  let from = 0;
  let parts: Sound[] = [];
  for (const event of events) {
    if (event.type === 'start') {
      from = event.at;
      parts = [];
    } else if (event.type === 'sound') parts.push(event.sound);
    else if (event.type === 'end') all.push({ from, to: event.at, sound: joined(parts) });
  }
  return all;
}

/** First and last sample of a rendered sentence that is no silence. */
function extent(sound: Sound): readonly [number, number] {
  const loud = (x: number) => Math.abs(x) > 0.003;
  return [sound.findIndex(loud), sound.findLastIndex(loud)];
}

const sentences = [
  'right patellar three plus, left two plus',
  'finger abduction four plus on the right', // begins with a soft consonant
  'hip flexion five out of five',
  'sensation to pinprick reduced at left l five', // ends with one
  'thumb abduction three out of five',
];

describe('an utterance is found whole', () => {
  test.each(
    sentences.flatMap((text) =>
      [0, 0.002, 0.01].flatMap((height) =>
        (['slt', 'awb'] as const).map((voice) => ({ text, height, voice })),
      ),
    ),
  )('$voice: "$text" in noise of height $height', async ({ text, height, voice }) => {
    const sentence = await spoken(text, voice);
    const lead = silence(1500);
    const clean = joined([lead, sentence, lead]);
    const found = utterances(cut(over(clean, noise(clean.length / 16, height))));
    expect(found).toHaveLength(1);
    const [first, last] = extent(sentence);
    expect(found[0]?.from).toBeLessThanOrEqual(lead.length + first);
    expect(found[0]?.to).toBeGreaterThanOrEqual(lead.length + last);
  });

  test('two sentences with a second between them are two, with a breath between them one', async () => {
    const a = await spoken('right ankle jerk absent');
    const b = await spoken('left ankle jerk two plus');
    const bare = (sound: Sound) => sound.subarray(...extent(sound));
    const parts = (gap: number) =>
      utterances(cut(joined([silence(1000), bare(a), silence(gap), bare(b), silence(1000)])));
    expect(parts(1000)).toHaveLength(2);
    expect(parts(250)).toHaveLength(1);
  });
});

test.each<[string, Sound]>([
  ['digital silence', silence(20_000)],
  ['a quiet room', noise(20_000, 0.001)],
  ['a loud fan from the first moment', noise(20_000, 0.2)],
  ['nothing', silence(0)],
])('%s is no utterance', (_what, sound) => {
  expect(cut(sound)).toEqual([]);
});

/** Six talkers at once, without a pause, so many dB under `sound` in power. */
async function amongTalkers(sound: Sound, fainterDb = 20): Promise<Sound> {
  const talkers = await Promise.all(
    sentences.flatMap((text) => [spoken(text, 'rms'), spoken(text, 'kal16')]).slice(0, 6),
  );
  const babble = sound.map((_, i) =>
    talkers.reduce((sum, talker, k) => sum + (talker[(i + 5000 * k) % talker.length] ?? 0), 0),
  );
  const power = (of: Sound) => of.reduce((sum, x) => sum + x * x, 0);
  const gain = Math.sqrt(power(sound) / power(babble) / 10 ** (fainterDb / 10));
  return over(
    sound,
    babble.map((x) => gain * x),
  );
}

test('among talkers an utterance still ends when its speaker does', async () => {
  const sentence = await spoken('right patellar three plus, left two plus');
  const lead = silence(3000);
  const found = utterances(cut(await amongTalkers(joined([lead, sentence, lead]))));
  const [first, last] = extent(sentence);
  const [own, ...more] = found.filter(
    ({ from, to }) => from < lead.length + last && to > lead.length + first,
  );
  expect(more).toEqual([]);
  expect(own?.from).toBeLessThanOrEqual(lead.length + first);
  expect(own?.to).toBeGreaterThanOrEqual(lead.length + last);
  expect(own?.to).toBeLessThanOrEqual(lead.length + last + 16_000);
});

test.each((['slt', 'awb'] as const).flatMap((voice) => [12, 2].map((db) => ({ voice, db }))))(
  '$voice: talk between two sentences, $db dB fainter than the whole, does not join them',
  async ({ voice, db }) => {
    const a = await spoken('right ankle jerk absent', voice);
    const b = await spoken('sensation to pinprick reduced at left l five', voice);
    const lead = silence(1500);
    const found = utterances(cut(await amongTalkers(joined([lead, a, lead, b, lead]), db)));
    const at = [lead.length, 2 * lead.length + a.length];
    const own = [a, b].map((sentence, i) => {
      const [first, last] = extent(sentence).map((sample) => sample + (at[i] ?? 0));
      return found.filter(({ from, to }) => from < (last ?? 0) && to > (first ?? 0));
    });
    expect(own.map((all) => all.length)).toEqual([1, 1]);
    expect(own[0]).not.toEqual(own[1]);
  },
);

test('a hiss louder than the vowels does not make them the quiet that ends an utterance', () => {
  const low = (ms: number) => silence(ms).map((_, i) => 0.05 * Math.sin(i / 8));
  const syllables = Array.from({ length: 8 }, () => [low(150), noise(50, 0.001)]).flat();
  const room = noise(1500, 0.001, 3);
  const sound = joined([noise(1500, 0.001), low(300), noise(120, 0.25, 5), ...syllables, room]);
  const found = utterances(cut(over(sound, noise(sound.length / 16, 0.001, 7))));
  expect(found).toHaveLength(1);
  expect(found[0]?.to).toBeGreaterThanOrEqual(sound.length - room.length - 16 * 50);
});

test('quiet after the last word is not handed on', async () => {
  const sentence = await spoken('right patellar three plus');
  const [found] = utterances(cut(joined([silence(1000), sentence, silence(2000)])));
  const end = 16_000 + extent(sentence)[1];
  expect(found?.to).toBeGreaterThanOrEqual(end);
  expect(found?.to).toBeLessThan(end + (usualEndpoints.hangMs * 16_000) / 1000);
});

test('a fan that is switched on is an utterance at most once', () => {
  const sound = joined([noise(3000, 0.001), noise(120_000, 0.1)]);
  const found = utterances(cut(sound, createEndpointer(), 1000));
  expect(found.length).toBeLessThanOrEqual(2);
});

const bursts = fc.array(
  fc.record({
    loudMs: fc.integer({ min: 10, max: 3000 }),
    quietMs: fc.integer({ min: 10, max: 1500 }),
    height: fc.constantFrom(0.05, 0.3, 1),
  }),
  { minLength: 1, maxLength: 5 },
);
const soundOf = (plan: readonly { loudMs: number; quietMs: number; height: number }[]) =>
  joined([
    noise(500, 0.001),
    ...plan.flatMap(({ loudMs, quietMs, height }, i) => [
      noise(loudMs, height, i + 2),
      noise(quietMs, 0.001, i + 99),
    ]),
  ]);

test('starts and ends alternate, utterances never overlap, and every sample between is given', () => {
  fc.assert(
    fc.property(bursts, (plan) => {
      const sound = soundOf(plan);
      let inside = false;
      let last = 0;
      for (const event of cut(sound)) {
        if (event.type === 'start') {
          expect(inside).toBe(false);
          expect(event.at).toBeGreaterThanOrEqual(last);
          inside = true;
        } else if (event.type === 'end') {
          expect(inside).toBe(true);
          inside = false;
          last = event.at;
        } else expect(inside).toBe(true);
      }
      expect(inside).toBe(false);
      for (const { from, to, sound: given } of utterances(cut(sound))) {
        expect(given).toEqual(sound.subarray(from, to));
      }
    }),
    { numRuns: 30 },
  );
});

test('the pieces it comes in make no difference', () => {
  fc.assert(
    fc.property(bursts, fc.integer({ min: 1, max: 700 }), (plan, size) => {
      const sound = soundOf(plan);
      expect(utterances(cut(sound, createEndpointer(), size))).toEqual(
        utterances(cut(sound, createEndpointer(), 5000)),
      );
    }),
    { numRuns: 15 },
  );
});

test('no utterance is longer than the longest, whatever the levels', () => {
  const { longestMs } = usualEndpoints;
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -100, max: 0, noNaN: true }), { minLength: 3000, maxLength: 5000 }),
      (levels) => {
        let state = quiet;
        for (const level of levels) {
          ({ state } = advance(state, level, usualEndpoints));
          expect(state.age * frameMs).toBeLessThanOrEqual(longestMs);
          expect(Number.isFinite(state.floor)).toBe(true);
        }
      },
    ),
    { numRuns: 20 },
  );
});

test('what is skipped is not heard, and keeps its time', async () => {
  const sentence = await spoken('left biceps two plus');
  const endpointer = createEndpointer();
  endpointer.push(silence(1000));
  endpointer.push(sentence.subarray(0, 12_000)); // begun, then muted
  endpointer.skip(16_000);
  const found = utterances([
    ...endpointer.push(joined([silence(500), sentence, silence(700)])),
    ...endpointer.flush(),
  ]);
  expect(found).toHaveLength(1);
  const resumed = 16_000 + 12_000 + 16_000;
  expect(found[0]?.from).toBeGreaterThanOrEqual(resumed);
  expect(found[0]?.from).toBeLessThanOrEqual(resumed + 8000 + extent(sentence)[0]);
});

test('the rest of a sentence that began unheard is no utterance; the next sentence is', async () => {
  const sentence = await spoken('left biceps two plus');
  const [first, last] = extent(sentence);
  const middle = Math.round((first + last) / 2);
  const endpointer = createEndpointer();
  endpointer.push(silence(1000));
  endpointer.skip(middle);
  const rest = joined([sentence.subarray(middle), silence(700), sentence, silence(700)]);
  const found = utterances([...endpointer.push(rest), ...endpointer.flush()]);
  const next = 16_000 + sentence.length + 11_200;
  expect(found).toHaveLength(1);
  expect(found[0]?.from).toBeGreaterThan(16_000 + last);
  expect(found[0]?.from).toBeLessThanOrEqual(next + first);
});

test('whoever went on speaking after sound was passed over is told to have gone unheard', async () => {
  const sentence = await spoken('left biceps two plus');
  const missed = (after: Sound): number => {
    const endpointer = createEndpointer();
    endpointer.push(silence(1000));
    endpointer.skip(16_000);
    const events = endpointer.push(joined([after, silence(700)]));
    return events.filter(({ type }) => type === 'missed').length;
  };
  expect(missed(sentence.subarray(extent(sentence)[0]))).toBe(1);
  expect(missed(silence(500))).toBe(0);
  // The end of a word, or of the program's own in the room, is nothing to be said again.
  const last = sentence.findLastIndex((x) => Math.abs(x) > 0.05);
  expect(missed(sentence.subarray(last - 1600, last))).toBe(0);
});

describe('a gate before it', () => {
  const opened = (at: number, sound: Sound, shutAt = Number.POSITIVE_INFINITY) => {
    const endpointer = createEndpointer();
    const events: EndpointerEvent[] = [...endpointer.gate(false)];
    let time = 0;
    for (const piece of pieces(sound, 10)) {
      if (time === at) events.push(...endpointer.gate(true));
      if (time === shutAt) events.push(...endpointer.gate(false));
      events.push(...endpointer.push(piece));
      time += 10;
    }
    events.push(...endpointer.flush());
    return events;
  };
  const ends = (events: readonly EndpointerEvent[]) =>
    events.flatMap((event) => (event.type === 'end' ? [event.cut] : []));

  test('shut, nothing of what is said is given; opened in a pause, what is said then is given whole', async () => {
    const first = await spoken('left biceps two plus');
    const second = await spoken('right patellar three plus');
    const sound = joined([silence(1000), first, silence(1500), second, silence(1500)]);
    const pause = 1000 + Math.round(first.length / 160) * 10 + 500;
    const found = utterances(opened(pause, sound));
    expect(found).toHaveLength(1);
    expect(found[0]?.from).toBeGreaterThanOrEqual(pause * 16);
    const start = 16_000 + first.length + 24_000;
    const [from, to] = extent(second);
    expect(found[0]?.from).toBeLessThanOrEqual(start + from);
    expect(found[0]?.to).toBeGreaterThanOrEqual(start + to);
    expect(utterances(opened(Number.POSITIVE_INFINITY, sound))).toEqual([]);
  });

  test('opened half a second after someone else has spoken, it need not wait', async () => {
    const first = await spoken('left biceps two plus');
    const second = await spoken('right patellar three plus');
    const bare = first.subarray(0, extent(first)[1]);
    const pause = 1000 + Math.ceil(bare.length / 160) * 10 + 500;
    const sound = joined([silence(1000), bare, silence(550), second, silence(1500)]);
    const found = utterances(opened(pause, sound));
    expect(found).toHaveLength(1);
    expect(found[0]?.from).toBeLessThanOrEqual(16_000 + bare.length + 8800 + extent(second)[0]);
  });

  test('opened in the midst of a sentence, its rest is no utterance, and that is told', async () => {
    const sentence = await spoken('right patellar three plus left two plus');
    const middle = Math.round(extent(sentence)[1] / 320) * 10;
    const events = opened(1000 + middle, joined([silence(1000), sentence, silence(1500)]));
    expect(events.map(({ type }) => type)).toEqual(['missed']);
  });

  test('shut, an utterance ends at once: cut where it still sounded, else whole', async () => {
    const sentence = await spoken('right patellar three plus');
    const sound = joined([silence(1000), sentence, silence(1500)]);
    const [from, to] = extent(sentence).map((at) => Math.round(at / 160) * 10);
    const midst = Math.round(((from ?? 0) + (to ?? 0)) / 20) * 10;
    const cutShort = opened(0, sound, 1000 + midst);
    expect(ends(cutShort)).toEqual([true]);
    expect(utterances(cutShort)[0]?.to).toBeLessThanOrEqual((1000 + midst) * 16);
    const whole = opened(0, sound, 1000 + (to ?? 0) + 250);
    expect(ends(whole)).toEqual([false]);
    expect(ends(opened(0, sound))).toEqual([false]);
  });
});
