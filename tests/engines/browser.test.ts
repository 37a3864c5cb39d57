import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { freeWordsCalibration } from '../../src/app/models/calibration.ts';
import { modelOf } from '../../src/app/models/manifest.ts';
import { folderShelf, modelsFolder } from '../../src/cli/modelFiles.ts';
import { PortError, type Recogniser } from '../../src/ports.ts';
import { type EnginesInChromium, enginesInChromium } from './chromium.ts';
import { hear, recogniserContract } from './contract.ts';
import { oneOf } from './network.ts';
import type { EngineName } from './page/main.ts';
import { packed, tinyVosk } from './voskModel.ts';
import { tinyWhisper } from './whisperModel.ts';

let chromium: EnginesInChromium;
beforeAll(async () => {
  chromium = await enginesInChromium();
});
afterAll(() => chromium?.close());

type Files = Iterable<readonly [string, Buffer]>;
const refusal = (engine: EngineName, files: Files): Promise<string> =>
  chromium.load(engine, files).then(
    () => 'nothing was wrong',
    (why: unknown) => (why instanceof PortError ? `${why.code}: ${why.message}` : String(why)),
  );

const text = (path: { readonly words: readonly { readonly word: string }[] } | undefined) =>
  path?.words.map(({ word }) => word).join(' ');
const noise = Float32Array.from({ length: 16_000 }, (_, i) => Math.sin(i * i) / 100);

/** Three words that the tiny models write down for any sound, in two networks. */
async function hearsThreeWords(recogniser: Recogniser): Promise<void> {
  await recogniser.listenFor(oneOf('right ankle absent', 'left ankle absent'));
  const first = await hear(recogniser, noise);
  expect(text(first.best)).toBe('right ankle absent');
  expect(first.frames).toBe(100);
  expect(await hear(recogniser, noise)).toEqual(first);
  await recogniser.start();
  await recogniser.feed(noise);
  await recogniser.abort();
  await recogniser.listenFor(oneOf('left ankle absent', 'say again'));
  const { best, anySpeech } = await hear(recogniser, noise);
  expect(text(best)).toBe('left ankle absent');
  expect(best?.score).toBeGreaterThan(anySpeech);
  const [right, left] = await recogniser.reconsider([
    oneOf('right ankle absent'),
    oneOf('left ankle absent'),
  ]);
  expect(right?.score).toBeGreaterThan(left?.score ?? 0);
  await recogniser.close();
  await expect(recogniser.start()).rejects.toMatchObject({ code: 'closed' });
}

describe('Vosk in Chromium, with a model made for this test', () => {
  const whole = packed(tinyVosk);
  const changed = (path: string, content: string | undefined): Buffer => {
    const files = new Map(tinyVosk);
    if (content === undefined) files.delete(path);
    else files.set(path, Buffer.from(content));
    return packed(files);
  };

  test('goes through the real unpacking, loading and decoding to words in the grammar', async () => {
    await hearsThreeWords(await chromium.load('vosk', [['model.tar.gz', whole]]));
  });

  test.each<[string, Buffer]>([
    ['missing', Buffer.alloc(0)],
    ['a web page', Buffer.from('<!doctype html><p>Not found')],
    ['cut short', whole.subarray(0, whole.length >> 1)],
    ['no archive', gzipSync(Buffer.alloc(5000, 7))],
    ['without its network', changed('am/final.mdl', undefined)],
    ['with a damaged network', changed('am/final.mdl', '<TransitionModel>\n<Topology>\n')],
    ['with a web page in place of its graph', changed('graph/HCLG.fst', '<!doctype html>')],
  ])('%s it is refused in one line', async (_what, model) => {
    expect(await refusal('vosk', [['model.tar.gz', model]])).toMatch(
      /^corrupt: Vosk refused its model \(.*\); remove the model and add it again$/,
    );
  });

  test('leaves no second copy of a model behind', async () => {
    await expect.poll(() => chromium.databases()).not.toContain('/vosk');
  });
});

describe('Whisper in Chromium, with a model made for this test', () => {
  const without = (path: string): Files => [...tinyWhisper].filter(([name]) => name !== path);
  const changed = (path: string, change: (bytes: Buffer) => Buffer): Files =>
    [...tinyWhisper].map(([name, bytes]) => [name, name === path ? change(bytes) : bytes] as const);
  const encoder = 'onnx/encoder_model_quantized.onnx';
  const html = (): Buffer => Buffer.from('<!doctype html><p>Not found');

  test('goes through the real loading and decoding to words in the grammar', async () => {
    await hearsThreeWords(await chromium.load('whisper', tinyWhisper));
  });

  test.each<[string, Files, RegExp]>([
    ['config.json missing', without('config.json'), /^not-found: Whisper: config\.json is missing/],
    ['its encoder missing', without(encoder), /^corrupt: Whisper refused its model \(.*encoder/],
    ['its encoder cut short', changed(encoder, (b) => b.subarray(0, 40)), /^corrupt: Whisper ref/],
    ['a web page in place of its encoder', changed(encoder, html), /^corrupt: Whisper refused/],
    ['a web page as its tokenizer', changed('tokenizer.json', html), /^corrupt: Whisper refused/],
    [
      'a model of another kind',
      changed('config.json', () => Buffer.from('{"model_type":"abacus"}')),
      /^corrupt: Whisper refused its model \(.*abacus/,
    ],
  ])('with %s it is refused in one line', async (_what, files, message) => {
    const told = await refusal('whisper', files);
    expect(told).toMatch(message);
    expect(told).not.toContain('\n');
  });
});

const pronunciations = new Map([
  ['clonus', ['K L OW N AH S']],
  ['patellar', ['P AH T EH L ER']],
]);
const wide = modelOf('pocketsphinx-en-us');
const wideAt = wide.debian?.folder ?? '';
if (existsSync(wideAt)) {
  const files = async (): Promise<Files> => [
    ...(await Promise.all(
      wide.files.map(async ({ path }) => [path, await readFile(`${wideAt}/${path}`)] as const),
    )),
    ['feat_params.json', Buffer.from(JSON.stringify(wide.frontEnd))] as const,
  ];
  recogniserContract(
    'the wide-band model in a worker of Chromium',
    async () => chromium.load('soundswallower', await files(), pronunciations),
    { calibration: calibrations.both, doubtful: 'right ankle was not absent' },
  );
} else {
  test.skip(`SKIPPED, the wide-band model in a worker of Chromium: ${wideAt} is not here`, () => {});
}

// The engines of free words in full, on real sound, as soon as a model is installed (plessor models add).
const shelf = folderShelf(modelsFolder());
for (const [engine, id] of [
  ['vosk', 'vosk-small-en-us'],
  ['whisper', 'whisper-tiny-en'],
] as const) {
  if ((await shelf.installed(id)) === undefined) {
    test.skip(`SKIPPED, ${id} on real sound: it is not installed`, () => {});
    continue;
  }
  const files = () =>
    Promise.all(
      modelOf(id).files.map(
        async ({ path }) => [path, Buffer.from(await shelf.file(id, path))] as const,
      ),
    );
  recogniserContract(id, async () => chromium.load(engine, await files()), {
    calibration: freeWordsCalibration,
    pronounces: false,
    streams: engine === 'vosk',
  });
}

test('nothing was asked of any other address, and no policy was broken', () => {
  const { requests, refusals, origin } = chromium;
  const outside = requests.filter((url) => !url.startsWith(origin) && !url.startsWith('blob:'));
  expect(requests.length).toBeGreaterThan(3);
  expect(outside).toEqual([]);
  expect(refusals).toEqual([]);
});
