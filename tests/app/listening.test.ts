import { expect, test } from 'vitest';
import { createListening } from '../../src/app/listening.ts';
import { type Microphone, PortError } from '../../src/ports.ts';

/** A microphone that can be pulled out and put back. */
function room() {
  let there = true;
  let lost: ((why: PortError) => void) | undefined;
  let again: (() => void) | undefined;
  let flushed = 0;
  const told: string[] = [];
  const microphone: Microphone = {
    async listen(on) {
      if (!there) throw new PortError('no-device', 'there is no microphone');
      lost = on.lost;
      return { stop: async () => {} };
    },
  };
  const listening = createListening({
    microphone,
    ear: async () => ({
      push: () => {},
      flush: async () => {
        flushed += 1;
      },
      settled: async () => {},
      mute: () => {},
      gate: () => {},
      gap: () => {},
    }),
    read: async function* () {},
    notice: () => {},
    opened: () => told.push('opened'),
    lost: () => told.push('lost'),
    regain: (now) => {
      again = now;
      return () => {
        again = undefined;
      };
    },
  });
  return {
    listening,
    told,
    flushed: () => flushed,
    watched: () => again !== undefined,
    unplug() {
      there = false;
      lost?.(new PortError('unplugged', 'gone'));
    },
    plugIn() {
      there = true;
    },
    async look() {
      again?.();
      await new Promise((resolve) => setTimeout(resolve));
    },
  };
}

test('a key that is up shuts the microphone out, and nobody can interrupt; a recording is heard all the same', async () => {
  const gates: boolean[] = [];
  let hear: ((sound: Float32Array) => void) | undefined;
  let over = 0;
  const listening = createListening({
    microphone: {
      async listen(on) {
        hear = on.sound;
        return { stop: async () => {} };
      },
    },
    ear: async () => ({
      push: () => {},
      flush: async () => {},
      settled: async () => {},
      mute: () => {},
      gate: (open) => gates.push(open),
      gap: () => {},
    }),
    read: async function* () {
      yield new Float32Array(160);
    },
    notice: () => {},
    opened: () => {},
    lost: () => {},
    talkedOver: () => {
      over += 1;
    },
  });
  const tone = (level: number, ms: number) =>
    Float32Array.from({ length: 16 * ms }, (_, i) => level * Math.sin(i));
  const interrupted = () => {
    listening.speaking(true);
    for (const sound of [tone(0.0001, 200), tone(0.01, 500), tone(0.3, 500)]) hear?.(sound);
    listening.speaking(false);
  };
  await listening.load();
  await listening.listen();
  interrupted();
  expect(over).toBe(1);
  listening.gate(false);
  // What was said before the key went up is still on its way.
  expect(gates.at(-1)).toBe(true);
  await expect.poll(() => gates.at(-1)).toBe(false);
  interrupted();
  expect(over).toBe(1);
  await listening.hear(new File([], 'a.wav'));
  expect(gates.at(-1)).toBe(true);
  await listening.listen();
  expect(gates.at(-1)).toBe(false);
  listening.gate(true);
  expect(gates.at(-1)).toBe(true);
});

test('a microphone lost in mid exam is taken up again without a hand', async () => {
  const here = room();
  await here.listening.listen();
  here.unplug();
  expect(here.listening.source.value).toEqual({ is: 'lost', why: 'unplugged' });
  expect(here.flushed()).toBe(1);
  await here.look();
  // Still away: the reason stays on the screen, and it is told of once.
  expect(here.listening.source.value).toEqual({ is: 'lost', why: 'unplugged' });
  here.plugIn();
  await here.look();
  expect(here.listening.source.value).toEqual({ is: 'microphone' });
  expect(here.told).toEqual(['opened', 'lost', 'opened']);
  expect(here.watched()).toBe(false);
});

test('it can be lost more than once', async () => {
  const here = room();
  await here.listening.listen();
  for (let i = 0; i < 2; i++) {
    here.unplug();
    here.plugIn();
    await here.look();
  }
  expect(here.listening.source.value).toEqual({ is: 'microphone' });
});

test('one that the examiner closed stays closed', async () => {
  const here = room();
  await here.listening.listen();
  here.unplug();
  await here.listening.close();
  here.plugIn();
  await here.look();
  expect(here.listening.source.value).toEqual({ is: 'none' });
  expect(here.watched()).toBe(false);
});

test('one that never worked is not asked for again and again', async () => {
  const here = room();
  here.unplug();
  await here.listening.listen();
  expect(here.listening.source.value).toEqual({ is: 'lost', why: 'no-device' });
  expect(here.watched()).toBe(false);
});
