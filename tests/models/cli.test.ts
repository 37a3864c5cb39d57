import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { cp, mkdtemp, readdir, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { modelOf } from '../../src/app/models/manifest.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { spoken } from '../engines/speech.ts';

const wide = modelOf('pocketsphinx-en-us');
const debian = wide.debian?.folder ?? '';
const command = fileURLToPath(new URL('../../src/cli/plessor.mjs', import.meta.url));

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-cli-models-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

function plessor(...args: readonly string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [command, ...args], {
    encoding: 'utf8',
    env: { ...process.env, PLESSOR_MODELS: join(folder, 'models') },
  });
  return { status, stdout, stderr, last: stderr.trimEnd().split('\n').at(-1) };
}

describe('models on the command line', () => {
  test('are listed with their size, and what is installed', () => {
    const { stdout, status } = plessor('models');
    expect(status).toBe(0);
    expect(stdout).toMatch(/^installed {2}soundswallower-en-us +9\.9 MB/m);
    expect(stdout).toMatch(/^absent +pocketsphinx-en-us +6\.6 MB/m);
    expect(stdout).toMatch(/^absent +vosk-small-en-us .*\(in the page only\)$/m);
    expect(JSON.parse(plessor('models', '--json').stdout)[1]).toMatchObject({
      id: 'pocketsphinx-en-us',
      installed: false,
      bytes: wide.bytes,
    });
  });

  test.each<[readonly string[], RegExp]>([
    [['models', 'add', 'nothing'], /there is no model "nothing"; models-manifest knows/],
    [['models', 'add'], /models takes nothing, "add ID" or "remove ID"/],
    [['models', 'fetch', wide.id], /models takes nothing/],
    [['models', 'remove', 'soundswallower-en-us'], /comes with the program and cannot be removed/],
    [['models', 'add', 'vosk-small-en-us', '--debian'], /is in no Debian package/],
    [['models', 'add', wide.id, '--from', '/nowhere'], /nowhere has no mdef; give the folder/],
    [
      ['models', 'add', 'vosk-small-en-us', '--from', 'http://127.0.0.1:1/'],
      /without encryption the files could be changed/,
    ],
    [
      ['models', 'add', wide.id, '--from', 'http://127.0.0.1:1/'],
      /127\.0\.0\.1:1 cannot be reached/,
    ],
    [['listen', command, '--model', 'nothing'], /there is no model "nothing"/],
    [['listen', command, '--model', wide.id], /it is not installed; run "plessor models add/],
    [
      ['listen', command, '--model', 'whisper-tiny-en'],
      /for the engine whisper, which does not run here/,
    ],
  ])('%j is refused in one line', (args, message) => {
    const { status, stdout, last } = plessor(...args);
    expect(last).toMatch(message);
    expect(status).toBe(2);
    expect(stdout).toBe('');
  });

  test('a model of unknown hash is installed once its fingerprint was confirmed', async () => {
    const packed = join(folder, 'any name.tar.gz');
    await writeFile(packed, 'bytes that nobody has a hash of');
    const first = plessor('models', 'add', 'vosk-small-en-us', '--from', packed);
    expect(first.status).toBe(2);
    const confirm = /--confirm ([0-9a-f]{64})/.exec(first.last ?? '')?.[1] ?? '';
    expect(plessor('models', 'add', 'vosk-small-en-us', '--confirm', 'f'.repeat(64)).status).toBe(
      2,
    );
    const second = plessor('models', 'add', 'vosk-small-en-us', '--confirm', confirm, '--json');
    expect(JSON.parse(second.stdout)).toEqual({ id: 'vosk-small-en-us', installed: true });
  });
});

describe.skipIf(!existsSync(debian))(
  `the wide-band model from its Debian package${existsSync(debian) ? '' : `: SKIPPED, ${debian} is not here`}`,
  () => {
    test('is added, hears, is known when damaged, and is removed', async () => {
      const added = plessor('models', 'add', wide.id, '--debian');
      expect(added.status).toBe(0);
      expect(added.stderr).toMatch(/^pocketsphinx-en-us: 6\.6 MB, BSD-2-Clause/m);
      expect(added.stderr).toMatch(/^pocketsphinx-en-us: 100 %$/m);
      const recording = join(folder, 'exam.wav');
      await writeFile(recording, writeWav(await spoken('right patellar three plus')));
      const heard = plessor('listen', recording, '--model', wide.id, '--json');
      expect(JSON.parse(heard.stdout).utterances[0]).toMatchObject({
        heard: 'right patellar three plus',
      });
      await truncate(join(folder, 'models', wide.id, 'sendump'), 1000);
      const damaged = plessor('listen', recording, '--model', wide.id);
      expect(damaged.last).toMatch(
        /sendump is not the file that was installed; run "plessor models add/,
      );
      expect(plessor('models', 'add', wide.id, '--debian').status).toBe(0);
      expect(plessor('models', 'remove', wide.id).status).toBe(0);
      expect(await readdir(join(folder, 'models'))).toEqual([]);
    });

    test('a folder of a model for another engine or band is refused by its hashes', async () => {
      const other = join(folder, 'other');
      const packaged = new URL('./model/en-us/', import.meta.resolve('soundswallower'));
      await cp(fileURLToPath(packaged), other, { recursive: true });
      const refused = plessor('models', 'add', wide.id, '--from', other);
      expect(refused.status).toBe(2);
      expect(refused.last).toMatch(
        /mdef of pocketsphinx-en-us broke off|is not the file it should be/,
      );
    });
  },
);
