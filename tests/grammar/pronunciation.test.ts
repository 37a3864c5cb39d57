import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { english } from '../../src/app/language.ts';
import { lookUp, readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import { packagedModel } from '../../src/engines/soundswallower/node.ts';
import { nodes } from '../../src/grammar/index.ts';

test('every word of the grammar has a sound: in the model or in pronunciations.dict', () => {
  const places = new Map<string, string>();
  for (const rule of english().grammar.rules.values()) {
    for (const node of nodes(rule.body)) {
      if (node.is === 'word') places.set(node.word, `${rule.source}, <${rule.name}>`);
    }
  }
  const general = lookUp(
    new Set(places.keys()),
    readFileSync(new URL('dict.txt', packagedModel()), 'utf8'),
  );
  const own = readPronunciations(
    readFileSync(new URL('../../grammars/en/pronunciations.dict', import.meta.url), 'utf8'),
  );
  const silent = [...places].filter(([word]) => !general.has(word) && !own.has(word));
  expect(silent.map(([word, place]) => `${word} (${place})`)).toEqual([]);
});
