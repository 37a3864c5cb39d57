import { beforeAll, describe, expect, test } from 'vitest';
import { scripts, speaker } from '../../demo-audio-scripts/index.ts';
import { createDoubleTalk } from '../../src/audio/doubleTalk.ts';
import { readBackText } from '../../src/dialogue/index.ts';
import { joined, type Sound, soundRate } from '../../src/ports.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import { heardThrough, impulseResponse } from '../bench/room.ts';

const flite = fliteInNode();
const room = impulseResponse({ size: [4, 3, 3], reverberation: 0.3 }, 1);
const piece = 480;

/** Read-backs as the microphone has them back, with half a second after each. */
let turns: readonly Sound[];
let examiner: Sound;
beforeAll(async () => {
  const own = speaker(flite, { voice: 'slt' });
  const said = scripts().flatMap(({ lines }) =>
    lines.flatMap((line) => (line.is === 'said' && line.findings.length > 0 ? [line] : [])),
  );
  turns = await Promise.all(
    said.slice(-40).map(async ({ findings }) => {
      const speech = joined([await own(readBackText(findings)), new Float32Array(8000)]);
      return heardThrough(speech, room).map((s, i) => 0.3 * s + 1e-4 * Math.sin(i * i));
    }),
  );
  const voice = await speaker(flite, { voice: 'awb' })('correction left two plus');
  examiner = voice.subarray(voice.findIndex((x) => Math.abs(x) > 0.02));
});

const power = (sound: Sound): number => sound.reduce((sum, s) => sum + s * s, 0) / sound.length;

/** The examiner over a turn, so many dB louder than it, so long after its beginning. */
function over(turn: Sound, db: number, afterMs = 300): Sound {
  const from = Math.round((afterMs * soundRate) / 1000);
  const gain = Math.sqrt(power(turn) / power(examiner)) * 10 ** (db / 20);
  const mixed = new Float32Array(Math.max(turn.length, from + examiner.length));
  mixed.set(turn);
  examiner.forEach((s, i) => {
    mixed[from + i] = (mixed[from + i] ?? 0) + gain * s;
  });
  return mixed;
}

/** One turn of the program; gives when it was interrupted, in ms from its beginning. */
function turnIn(doubleTalk: ReturnType<typeof createDoubleTalk>, sound: Sound): number | undefined {
  doubleTalk.begin();
  let at: number | undefined;
  for (let i = 0; i + piece <= sound.length; i += piece) {
    const told = doubleTalk.take(sound.subarray(i, i + piece));
    if (told) {
      expect(at).toBeUndefined();
      at = ((i + piece) / soundRate) * 1000;
    }
  }
  doubleTalk.end();
  return at;
}

describe('who speaks over the program', () => {
  test('its own sound, back from a room, interrupts it never', () => {
    const doubleTalk = createDoubleTalk();
    for (const turn of turns) expect(turnIn(doubleTalk, turn)).toBeUndefined();
  });

  test('a voice well above it does, and is told within half a second of its first sound', () => {
    const doubleTalk = createDoubleTalk();
    const [first, ...rest] = turns;
    turnIn(doubleTalk, first ?? new Float32Array(0));
    for (const [i, turn] of rest.entries()) {
      const at = turnIn(doubleTalk, i % 2 === 0 ? over(turn, 12) : turn);
      if (i % 2 === 1) expect(at).toBeUndefined();
      else {
        expect(at).toBeGreaterThan(300);
        expect(at).toBeLessThan(800);
      }
    }
  });

  describe('in its very first turn, of which its first words are all that is known', () => {
    const lead = new Float32Array(4800).map((_, i) => 1e-4 * Math.sin(i * i));
    /** When the program's first word is in the room, ms from the beginning of the turn. */
    const firstWord = (turn: Sound): number =>
      (turn.findIndex((x) => Math.abs(x) > 0.01) / soundRate) * 1000;
    const first = (turn: Sound) => turnIn(createDoubleTalk(), joined([lead, turn]));

    test('its own sound interrupts it never', () => {
      for (const turn of turns) expect(first(turn)).toBeUndefined();
    });
    test('a voice far above it does, and is told within half a second of its first sound', () => {
      for (const turn of turns) {
        const from = firstWord(turn) + 350;
        const at = first(over(turn, 20, from)) ?? Number.NaN;
        expect(at - 300).toBeGreaterThan(from);
        expect(at - 300).toBeLessThan(from + 500);
      }
    });
    test('one that speaks before its first word is over is taken for it, and it goes on', () => {
      for (const turn of turns.slice(0, 10)) {
        expect(first(over(turn, 20, firstWord(turn) + 50))).toBeUndefined();
      }
    });
    test('a click before its first word is not taken for it', () => {
      for (const turn of turns.slice(0, 10)) {
        const click = joined([lead, lead.map((s, i) => (i < 800 ? 0.003 * Math.sin(i) : s)), lead]);
        expect(turnIn(createDoubleTalk(), joined([click, turn]))).toBeUndefined();
      }
    });
    test('interrupted twice before it ever heard itself out, it does that first', () => {
      const doubleTalk = createDoubleTalk();
      const loud = turns.slice(0, 4).map((turn) => joined([lead, over(turn, 20, 1000)]));
      const told = loud.map((turn) => turnIn(doubleTalk, turn) !== undefined);
      expect(told).toEqual([true, true, false, false]);
    });
  });

  test('a volume turned up interrupts it twice at most: then its own sound is learnt anew', () => {
    const doubleTalk = createDoubleTalk();
    for (const turn of turns.slice(0, 5)) turnIn(doubleTalk, turn);
    const louder = turns.slice(5, 15).map((turn) => turn.map((s) => 4 * s));
    const cut = louder.filter((turn) => turnIn(doubleTalk, turn) !== undefined);
    expect(cut.length).toBeGreaterThan(0);
    expect(cut.length).toBeLessThanOrEqual(2);
  });
});
