import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { check } from '../../src/cli/check.ts';
import { papersOf, partsOf } from '../../src/report/index.ts';
import { writePack } from '../../src/store/index.ts';
import { rootExam } from '../report/exams.ts';

let folder: string;
const at = (name: string) => join(folder, name);
const word = 'plessor and pack';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-check-'));
  for (const { name, text } of papersOf(rootExam)) await writeFile(at(name), text);
  await writeFile(at('exam.plessor'), await writePack(partsOf(rootExam), word));
  await writeFile(at('word'), `${word}\n`);
  await writeFile(at('other'), 'another one\n');
});
afterAll(() => rm(folder, { recursive: true }));

/** What it says, or the one line of its fault. */
async function said(name: string, passphraseFile?: string): Promise<string> {
  const lines: string[] = [];
  const out = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    lines.push(String(text));
    return true;
  });
  try {
    await check({ file: at(name), passphraseFile, json: false });
    return lines.join('').replaceAll(folder, '');
  } catch (fault) {
    return `fault: ${(fault as Error).message}`.replaceAll(folder, '');
  } finally {
    out.mockRestore();
  }
}

describe('plessor check', () => {
  test('knows its own papers again', async () => {
    expect(await said('record.json')).toMatch(/a whole record, \d+ findings/);
    expect(await said('bundle.fhir.json')).toMatch(/a whole FHIR bundle, \d+ findings/);
    expect(await said('exam.plessor', at('word'))).toMatch(/a whole review pack/);
  });
  test('says in one line what is wrong, and what to do', async () => {
    expect(await said('none.json')).toMatch(/^fault: .*cannot be read/);
    expect(await said('record.csv')).toMatch(/^fault: .*is not JSON/);
    expect(await said('exam.plessor')).toMatch(/^fault: .*--passphrase-file/);
    expect(await said('exam.plessor', at('other'))).toMatch(/^fault: .*does not open this pack/);
    const pack = await writePack(partsOf(rootExam), word);
    pack[pack.length - 1] = (pack.at(-1) ?? 0) ^ 1;
    await writeFile(at('changed.plessor'), pack);
    expect(await said('changed.plessor', at('word'))).toMatch(/^fault: .*part \d+ .*ask for/);
  });
});
