import { describe, expect, test } from 'vitest';
import { keyName, ownerOf, writes } from '../../src/ui/index.ts';

const press = (code: string, key = code, chord = false) => ({ code, key, chord });

describe('which key may be the examiner’s', () => {
  test.each(['Tab', 'Enter', 'NumpadEnter', 'Space', 'Escape', 'ArrowDown', 'Home', 'Delete'])(
    '%s is the page’s',
    (code) => {
      expect(ownerOf(press(code))).toBe('page');
    },
  );
  test.each(['Insert', 'CapsLock', 'Numpad5', 'ControlLeft', 'ShiftRight', 'AltLeft', 'MetaLeft'])(
    '%s is the screen reader’s',
    (code) => {
      expect(ownerOf(press(code))).toBe('reader');
    },
  );
  test.each(['F5', 'F6', 'F11'])('%s is the browser’s', (code) => {
    expect(ownerOf(press(code))).toBe('browser');
  });
  test('a chord is the browser’s', () => {
    expect(ownerOf(press('KeyB', 'b', true))).toBe('browser');
  });
  test.each([
    ['', 'b'],
    ['F13', 'Unidentified'],
    ['KeyE', 'Dead'],
  ])('what the browser does not know is nobody’s: %j', (code, key) => {
    expect(ownerOf(press(code, key))).toBe('unknown');
  });
  // What foot switches send as they come: a letter, a page key, a function key without a cap.
  test.each(['F8', 'F9', 'F13', 'F24', 'PageDown', 'PageUp', 'KeyB', 'Digit1', 'Pause'])(
    '%s is free',
    (code) => {
      expect(ownerOf(press(code))).toBeUndefined();
    },
  );
});

test.each([
  ['KeyB', 'b', 'B', true],
  // On a French keyboard Q stands in the place of A.
  ['KeyQ', 'a', 'A', true],
  ['F13', 'F13', 'F13', false],
  ['PageDown', 'PageDown', 'Page Down', false],
])('%s with "%s" on it is called %s', (code, key, name, types) => {
  expect(keyName(press(code, key))).toBe(name);
  expect(writes({ key })).toBe(types);
});
