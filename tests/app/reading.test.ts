import { expect, test } from 'vitest';
import { englishBy } from '../../src/app/english.ts';
import { createReading } from '../../src/app/reading.ts';
import { interpret } from '../../src/interpret/index.ts';
import { tokens } from '../../src/interpret/tokens.ts';

test('text is read once the library is there; one that does not come is asked for again', async () => {
  let away = true;
  const reading = createReading(async () => {
    if (away) throw new Error('no network');
    return tokens;
  });
  const language = englishBy(reading.tokens);
  const understood = (text: string) => interpret(language, language.words(text)).is;

  await reading.ready();
  expect(understood('right patellar three plus')).toBe('findings');
  // Read as it stands, its marks are none of the grammar's words: nothing, and nothing wrong.
  expect(understood('Right patellar, 3+.')).toBe('nothing');

  away = false;
  await reading.ready();
  expect(understood('Right patellar, 3+.')).toBe('findings');
});
