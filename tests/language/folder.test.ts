import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { spoken } from '../../src/app/language.ts';
import { pronunciations } from '../../src/app/pronunciations.ts';
import { examMessages, type LanguageId } from '../../src/exam/index.ts';

const grammars = new URL('../../grammars/', import.meta.url);
const folders = readdirSync(grammars, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map(({ name }) => name);

test('every language has a folder of grammars, and every folder is a language', () => {
  expect(folders.toSorted()).toEqual(Object.keys(examMessages).toSorted());
});

test.each(folders as LanguageId[])('the folder %s holds what its README asks for', (id) => {
  const { grammar, network } = spoken(id);
  expect(grammar.rules.get('exam.open')?.isPublic).toBe(true);
  expect(network('command.command').arcs.length).toBeGreaterThan(0);
  expect(pronunciations(id).size).toBeGreaterThan(0);
  const files = readdirSync(new URL(`${id}/`, grammars));
  expect(files).toEqual(expect.arrayContaining(['exam.jsgf', 'abbreviations.txt', 'cases']));
  expect(readdirSync(new URL(`${id}/cases/`, grammars))).toContain('misses.txt');
});
