import { signal } from '@preact/signals';
import { describe, expect, test } from 'vitest';
import { defaultSettings } from '../../src/app/settings.ts';
import { createKeySwitch } from '../../src/app/talkKey.ts';
import type { KeyUse } from '../../src/ui/index.ts';

function room(use: KeyUse, code = 'F13') {
  const diary: string[] = [];
  const key = { use, code, name: code };
  const settings = signal({ ...defaultSettings, key });
  const made = createKeySwitch({
    settings,
    gate: (open) => diary.push(open ? 'open' : 'shut'),
    pressed: () => diary.push('hush'),
  });
  diary.length = 0;
  const down = (pressed = code, { repeat = false, chord = false, inText = false } = {}) =>
    made.down({ code: pressed, key: pressed.replace('Key', ''), repeat, chord }, inText);
  return {
    diary,
    down,
    up: (released = code) => made.up({ code: released }),
    away: made.away,
    turn: made.turn,
    state: made.state,
    use: (now: KeyUse) => {
      settings.value = { ...settings.value, key: { ...key, use: now } };
    },
  };
}

describe('a key that is held', () => {
  test('opens while it is down, and the program falls silent for it', () => {
    const here = room('held');
    expect(here.state.value).toBe('up');
    expect(here.down()).toBe(true);
    expect(here.state.value).toBe('down');
    expect(here.up()).toBe(true);
    expect(here.diary).toEqual(['hush', 'open', 'shut']);
  });
  test('its repeats do nothing, and do nothing else on the page', () => {
    const here = room('held');
    here.down();
    expect(here.down('F13', { repeat: true })).toBe(true);
    here.up();
    // The rest of a press that began elsewhere.
    expect(here.down('F13', { repeat: true })).toBe(true);
    expect(here.state.value).toBe('up');
  });
  test('it counts as let go once keys no longer reach the page', () => {
    const here = room('held');
    here.down();
    here.away();
    expect(here.diary.at(-1)).toBe('shut');
    expect(here.up()).toBe(false);
  });
  test('the button does without a key, and stays when the window is left', () => {
    const here = room('held', '');
    here.turn();
    here.away();
    expect(here.state.value).toBe('down');
    here.turn();
    expect(here.diary).toEqual(['hush', 'open', 'shut']);
  });
});

describe('a key that starts and stops', () => {
  test('turns with each press', () => {
    const here = room('switched');
    for (const now of ['down', 'up', 'down']) {
      here.down();
      here.up();
      expect(here.state.value).toBe(now);
    }
    here.away();
    expect(here.state.value).toBe('down');
  });
});

describe('every other key is the page’s', () => {
  test('another one, a chord with it, and all of them where no key is used', () => {
    const here = room('held');
    expect(here.down('F9')).toBe(false);
    expect(here.down('F13', { chord: true })).toBe(false);
    expect(here.up()).toBe(false);
    expect(room('none').down()).toBe(false);
    expect(here.diary).toEqual([]);
  });
  test('a letter in a text field is written, and switches everywhere else', () => {
    const here = room('held', 'KeyB');
    expect(here.down('KeyB', { inText: true })).toBe(false);
    expect(here.diary).toEqual([]);
    expect(here.down('KeyB')).toBe(true);
    // A key without a letter switches in a text field as well.
    expect(room('held', 'F13').down('F13', { inText: true })).toBe(true);
  });
});

test('without a key sound comes through; another use begins with it up', () => {
  const here = room('held');
  here.down();
  here.use('none');
  expect(here.diary.at(-1)).toBe('open');
  here.use('switched');
  expect(here.state.value).toBe('up');
  expect(here.diary.at(-1)).toBe('shut');
});
