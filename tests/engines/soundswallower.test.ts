import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { lookUp, readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import {
  createSoundswallower,
  filesIn,
  packagedModel,
} from '../../src/engines/soundswallower/node.ts';
import { hear, oddNetworks, recogniserContract } from './contract.ts';
import { oneOf, reflexes } from './network.ts';
import { spoken } from './speech.ts';

const pronunciations = readPronunciations('clonus K L OW N AH S\npatellar P AH T EH L ER\n');
const create = () => createSoundswallower({ pronunciations });

recogniserContract('soundswallower', create, { calibration: calibrations.mixture });

test('a word is heard by its second pronunciation too', async () => {
  const recogniser = await createSoundswallower({
    pronunciations: readPronunciations('foot F UH T\nfoot(2) L EH F T\n'),
  });
  await recogniser.listenFor(oneOf('foot absent', 'right absent'));
  const heardAs = async (said: string) =>
    (await hear(recogniser, await spoken(said))).best?.words.map(({ word }) => word);
  expect(await heardAs('foot absent')).toEqual(['foot', 'absent']);
  expect(await heardAs('left absent')).toEqual(['foot', 'absent']);
  await recogniser.close();
});

test.each(oddNetworks)('%s is a network like any other', async (_what, network) => {
  const recogniser = await create();
  await recogniser.listenFor(network);
  await expect(hear(recogniser, await spoken('left'))).resolves.toHaveProperty('frames');
  await recogniser.close();
});

test('memory is flat over many utterances and networks', async () => {
  let memory: WebAssembly.Memory | undefined;
  const grow = WebAssembly.Memory.prototype.grow;
  WebAssembly.Memory.prototype.grow = function (pages) {
    memory = this;
    return grow.call(this, pages);
  };
  try {
    const recogniser = await create();
    const sound = (await spoken('left biceps two plus')).subarray(0, 12_000);
    const utterance = async (i: number) => {
      await recogniser.listenFor(i % 2 === 0 ? reflexes : oneOf('say again', 'left biceps'));
      await hear(recogniser, sound);
      await recogniser.reconsider([oneOf('left biceps'), oneOf('right biceps')]);
    };
    for (let i = 0; i < 20; i++) await utterance(i);
    const settled = memory?.buffer.byteLength;
    for (let i = 0; i < 100; i++) await utterance(i);
    expect(memory?.buffer.byteLength).toBe(settled);
    await recogniser.close();
  } finally {
    WebAssembly.Memory.prototype.grow = grow;
  }
});

let folder: string | undefined;
afterEach(async () => {
  if (folder !== undefined) await rm(folder, { recursive: true, force: true });
  folder = undefined;
});

const broken = async (spoil: (folder: string) => Promise<void>) => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-model-'));
  await cp(packagedModel(), folder, { recursive: true });
  await spoil(folder);
  return createSoundswallower({ pronunciations, loadFile: filesIn(folder) });
};

test.each(['mdef', 'means', 'sendump', 'dict.txt'])('a missing %s is named', async (name) => {
  const started = broken((at) => rm(join(at, name)));
  await expect(started).rejects.toMatchObject({
    code: 'not-found',
    message: expect.stringContaining(name),
  });
});

test.each([
  'feat_params.json',
  'mdef',
  'means',
  'variances',
  'transition_matrices',
  'noisedict.txt',
])('a page of HTML in place of %s is damage', async (name) => {
  const started = broken((at) => writeFile(join(at, name), '<!doctype html><p>Not found</p>'));
  await expect(started).rejects.toMatchObject({
    code: 'corrupt',
    message: expect.stringContaining(name),
  });
});

test.each(['mdef', 'means', 'variances', 'sendump', 'transition_matrices'])(
  '%s cut short is damage',
  async (name) => {
    const started = broken(async (at) => {
      const whole = await readFile(join(at, name));
      await writeFile(join(at, name), whole.subarray(0, whole.length >> 1));
    });
    await expect(started).rejects.toMatchObject({ code: 'corrupt' });
  },
);

test('pronunciations are read line by line, and a wrong line is named', () => {
  const read = readPronunciations(
    '# comment\nclonus K L OW N AH S ;; more\n\nclonus(2) K L AA N\n',
  );
  expect(read.get('clonus')).toEqual(['K L OW N AH S', 'K L AA N']);
  expect(() => readPronunciations('a AH\nb XX', 'own.dict')).toThrow('own.dict:2');
  expect(() => readPronunciations('b', 'own.dict')).toThrow('no phones');
});

test('a large dictionary gives all sounds of the words asked for', () => {
  const text = ';;; CMU\neither IY DH ER\neither(2) AY DH ER\nelbow EH L B OW';
  const found = lookUp(new Set(['either', 'elbow', 'zzyzx']), text);
  expect([...found]).toEqual([
    ['either', ['IY DH ER', 'AY DH ER']],
    ['elbow', ['EH L B OW']],
  ]);
});
