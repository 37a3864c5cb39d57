import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Installation, install } from '../../src/app/models/install.ts';
import { type Model, modelOf } from '../../src/app/models/manifest.ts';
import type { ModelShelf } from '../../src/app/models/shelf.ts';
import { chosenSource, webSource } from '../../src/app/models/source.ts';
import { folderShelf, folderSource, modelsFolder } from '../../src/cli/modelFiles.ts';
import { PortError } from '../../src/ports.ts';

const bytesOf = (seed: number, length: number): Buffer =>
  Buffer.from(Uint8Array.from({ length }, (_, i) => (i * 31 + seed * 7 + (i >> 8)) & 255));
const hash = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex');

/** Two files of a model that was never a model: only its bytes matter here. */
const contents = new Map([
  ['mdef', bytesOf(1, 300_000)],
  ['deep/means', bytesOf(2, 100_000)],
]);
const modelAt = (address: string, unknown: readonly string[] = []): Model => ({
  ...modelOf('pocketsphinx-en-us'),
  id: 'of-this-test',
  bytes: 400_000,
  files: [...contents].map(([path, bytes]) => ({
    path,
    bytes: bytes.length,
    sha256: unknown.includes(path) ? null : hash(bytes),
    known: unknown.includes(path) ? 'unknown' : 'measured',
    address: `${address}/${path}`,
  })),
});

let folder: string;
let shelf: ModelShelf;
let server: Server | undefined;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-models-'));
  shelf = folderShelf(join(folder, 'kept'));
});
afterEach(async () => {
  server?.closeAllConnections();
  server?.close();
  server = undefined;
  await rm(folder, { recursive: true, force: true });
});

async function served(answer: RequestListener): Promise<string> {
  server = createServer(answer).listen(0, '127.0.0.1');
  await new Promise((resolve) => server?.once('listening', resolve));
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
}

/** A server as they are: it answers for a part when asked for one. */
const willing =
  (asked: string[] = []): RequestListener =>
  (request, response) => {
    const path = (request.url ?? '').slice(1);
    asked.push(`${path} ${request.headers.range ?? 'all'}`);
    const bytes = contents.get(path);
    if (bytes === undefined) {
      response.writeHead(404).end();
      return;
    }
    const from = Number(/bytes=(\d+)-/.exec(request.headers.range ?? '')?.[1] ?? 0);
    if (from >= bytes.length) response.writeHead(416).end();
    else response.writeHead(from > 0 ? 206 : 200).end(bytes.subarray(from));
  };

const failure = (promise: Promise<Installation>) =>
  promise.then(
    (done) => ({ code: done.is, message: '' }),
    (why: unknown) => {
      expect(why).toBeInstanceOf(PortError);
      const { code, message } = why as PortError;
      expect(message).not.toContain('\n');
      return { code, message };
    },
  );

const whole = async (model: Model): Promise<void> => {
  for (const { path } of model.files) {
    expect(Buffer.from(await shelf.file(model.id, path)).equals(contents.get(path) as Buffer)).toBe(
      true,
    );
  }
};

describe('a model from its address', () => {
  test('is in place whole, and its progress ends at its size', async () => {
    const model = modelAt(await served(willing()));
    const progress: number[] = [];
    const done = await install({
      model,
      source: webSource(),
      shelf,
      progress: (n) => progress.push(n),
    });
    expect(done).toEqual({ is: 'installed' });
    await whole(model);
    expect(progress[0]).toBe(0);
    expect(progress.at(-1)).toBe(model.bytes);
    expect(progress).toEqual([...progress].sort((a, b) => a - b));
    expect(await readdir(join(folder, 'kept'))).toEqual(['of-this-test']);
  });

  test('goes on where it broke off, and asks for no byte twice', async () => {
    const asked: string[] = [];
    let broken = false;
    const model = modelAt(
      await served((request, response) => {
        if (broken || request.url !== '/mdef') {
          willing(asked)(request, response);
          return;
        }
        broken = true;
        response.writeHead(200, { 'content-length': '300000' });
        response.write(contents.get('mdef')?.subarray(0, 120_000), () =>
          setTimeout(() => response.destroy(), 50),
        );
      }),
    );
    const first = await failure(install({ model, source: webSource(), shelf }));
    expect(first.code).toBe('timed-out');
    expect(first.message).toMatch(/what has come is kept/);
    expect(await shelf.installed(model.id)).toBeUndefined();
    const kept = await shelf.kept(model.id, 'mdef');
    expect(kept).toBeGreaterThan(0);
    expect(await install({ model, source: webSource(), shelf })).toEqual({ is: 'installed' });
    expect(asked).toEqual([`mdef bytes=${kept}-`, 'deep/means all']);
    await whole(model);
  });

  test('begins anew where a server knows no parts', async () => {
    const model = modelAt(
      await served((request, response) => {
        response.writeHead(200).end(contents.get((request.url ?? '').slice(1)));
      }),
    );
    await shelf.add(model.id, 'mdef', new Uint8Array(1000));
    expect(await install({ model, source: webSource(), shelf })).toEqual({ is: 'installed' });
    await whole(model);
  });

  test('stopped by the user, nothing is in place and what came is kept', async () => {
    const stop = new AbortController();
    const model = modelAt(
      await served((_request, response) => {
        response.writeHead(200);
        response.write(contents.get('mdef')?.subarray(0, 50_000));
      }),
    );
    const progress = (done: number): void => {
      if (done > 0) stop.abort();
    };
    const stopped = await failure(
      install({ model, source: webSource(), shelf, progress, signal: stop.signal }),
    );
    expect(stopped.code).toBe('aborted');
    expect(await shelf.installed(model.id)).toBeUndefined();
    expect(await shelf.kept(model.id, 'mdef')).toBeGreaterThan(0);
  });

  test('an answer that stalls ends in time', async () => {
    const model = modelAt(await served(() => {}));
    const source = webSource({ stallMs: 50 });
    expect(await failure(install({ model, source, shelf }))).toMatchObject({
      code: 'timed-out',
      message: expect.stringContaining('did not answer in time'),
    });
  });

  test.each<[string, RequestListener, string, RegExp]>([
    [
      'a web page told by its type',
      (_request, response) => {
        response.writeHead(200, { 'content-type': 'text/html; charset=utf-8' }).end('<p>Sign in');
      },
      'corrupt',
      /answers with a web page in place of mdef; nothing was installed/,
    ],
    [
      'a web page told by its first bytes',
      (_request, response) => {
        response.writeHead(200).end(`\n<!DOCTYPE html>${' '.repeat(400_000)}`);
      },
      'corrupt',
      /mdef of of-this-test is answered with a web page; nothing was installed/,
    ],
    [
      'other bytes of the same length',
      (_request, response) => {
        response.writeHead(200).end(bytesOf(9, 300_000));
      },
      'corrupt',
      /mdef of of-this-test is not the file it should be \(its SHA-256 is [0-9a-f]{64}\)/,
    ],
    [
      'bytes without an end',
      (_request, response) => {
        response.writeHead(200).end(bytesOf(1, 300_001));
      },
      'corrupt',
      /longer than its 300000 bytes; nothing was installed/,
    ],
    [
      'an end before its length',
      (_request, response) => {
        response.writeHead(200).end(bytesOf(1, 299_999));
      },
      'timed-out',
      /broke off at 299999 of 300000 bytes/,
    ],
    [
      'nothing',
      (_request, response) => {
        response.writeHead(404).end('none');
      },
      'not-found',
      /has no mdef \(status 404\); add the model from a folder/,
    ],
  ])('%s is refused', async (_what, answer, code, message) => {
    const model = modelAt(await served(answer));
    const refused = await failure(install({ model, source: webSource(), shelf }));
    expect(refused.code).toBe(code);
    expect(refused.message).toMatch(message);
    expect(await shelf.installed(model.id)).toBeUndefined();
    if (code === 'corrupt') expect(await shelf.kept(model.id, 'mdef')).toBe(0);
  });

  test('a server that is not there is told by its name', async () => {
    const model = modelAt('http://127.0.0.1:1');
    expect(await failure(install({ model, source: webSource(), shelf }))).toMatchObject({
      code: 'timed-out',
      message: expect.stringMatching(/127\.0\.0\.1:1 cannot be reached.*add it from a folder/),
    });
  });
});

describe('a model without a known hash', () => {
  test('comes, is not installed, and is when its hash was confirmed', async () => {
    const model = modelAt(await served(willing()), ['mdef']);
    const first = await install({ model, source: webSource(), shelf });
    const sha256 = hash(contents.get('mdef') as Buffer);
    expect(first).toMatchObject({ is: 'unconfirmed', hashes: [{ path: 'mdef', sha256 }] });
    expect(await shelf.installed(model.id)).toBeUndefined();
    const again = { model, source: webSource(), shelf };
    expect(await install({ ...again, confirm: 'yes' })).toMatchObject({ is: 'unconfirmed' });
    const confirm = first.is === 'unconfirmed' ? first.fingerprint : '';
    // The fingerprint is what sha256sum gives for its own list of these hashes.
    expect(confirm).toBe(hash(Buffer.from(`${sha256}  mdef\n`)));
    expect(await install({ ...again, confirm })).toEqual({ is: 'installed' });
    await whole(model);
  });

  test('a fingerprint of other bytes installs nothing', async () => {
    const model = modelAt(await served(willing()), ['mdef']);
    const first = await install({ model, source: webSource(), shelf });
    const confirm = first.is === 'unconfirmed' ? first.fingerprint : '';
    await shelf.drop(model.id, 'mdef');
    await shelf.add(model.id, 'mdef', new Uint8Array(bytesOf(9, 300_000)));
    const changed = await install({ model, source: webSource(), shelf, confirm });
    expect(changed).toMatchObject({ is: 'unconfirmed' });
    expect(await shelf.installed(model.id)).toBeUndefined();
  });
});

describe('a model from this machine', () => {
  const laid = async (names: Readonly<Record<string, Buffer>>): Promise<string> => {
    const place = join(folder, 'usb');
    for (const [name, bytes] of Object.entries(names)) {
      await mkdir(join(place, name, '..'), { recursive: true });
      await writeFile(join(place, name), bytes);
    }
    return place;
  };
  const mdef = contents.get('mdef') as Buffer;
  const means = contents.get('deep/means') as Buffer;

  test.each([
    ['as in the model', { mdef, 'deep/means': means }],
    ['all beside each other', { mdef, means }],
  ])('comes from a folder, its files %s', async (_how, names) => {
    const model = modelAt('http://127.0.0.1:1');
    const source = folderSource(model, await laid(names));
    expect(await install({ model, source, shelf })).toEqual({ is: 'installed' });
    await whole(model);
  });

  test('a folder of another model is refused, by its hash', async () => {
    const model = modelAt('http://127.0.0.1:1');
    const source = folderSource(model, await laid({ mdef: bytesOf(5, 300_000), means }));
    expect(await failure(install({ model, source, shelf }))).toMatchObject({ code: 'corrupt' });
  });

  test('a folder that lacks a file names it', async () => {
    const model = modelAt('http://127.0.0.1:1');
    const source = folderSource(model, await laid({ mdef }));
    expect(await failure(install({ model, source, shelf }))).toMatchObject({
      code: 'not-found',
      message: expect.stringMatching(/usb has no deep\/means; give the folder/),
    });
  });

  test('files chosen in the page are found by name, with or without their folder', async () => {
    const model = modelAt('http://127.0.0.1:1');
    const source = chosenSource(model, [
      { name: 'stick/mdef', blob: new Blob([new Uint8Array(mdef)]) },
      { name: 'means', blob: new Blob([new Uint8Array(means)]) },
    ]);
    expect(await install({ model, source, shelf })).toEqual({ is: 'installed' });
    await whole(model);
  });

  test('the one file of a model may be called anything', async () => {
    const two = modelAt('http://127.0.0.1:1');
    const model = { ...two, files: two.files.slice(0, 1), bytes: 300_000 };
    const place = join(await laid({ 'copy (3).bin': mdef }), 'copy (3).bin');
    const done = await install({ model, source: folderSource(model, place), shelf });
    expect(done).toEqual({ is: 'installed' });
  });
});

describe('the shelf', () => {
  test('removing frees everything, in progress and installed', async () => {
    const model = modelAt(await served(willing()));
    await install({ model, source: webSource(), shelf });
    await shelf.add(model.id, 'mdef', new Uint8Array(10));
    await shelf.remove(model.id);
    expect(await readdir(join(folder, 'kept'))).toEqual([]);
    await expect(shelf.file(model.id, 'mdef')).rejects.toMatchObject({ code: 'not-found' });
  });

  test('too little room is told before anything is fetched', async () => {
    const asked: string[] = [];
    const model = modelAt(await served(willing(asked)));
    const small = { ...shelf, room: async () => 1000 };
    const full = await failure(install({ model, source: webSource(), shelf: small }));
    expect(full.code).toBe('full');
    expect(full.message).toMatch(/needs 0\.4 MB more than the 0\.0 MB that are free/);
    expect(asked).toEqual([]);
  });

  test('installed again, the new files take the place of the old ones', async () => {
    const model = modelAt(await served(willing()));
    await install({ model, source: webSource(), shelf });
    await writeFile(join(folder, 'kept', model.id, 'mdef'), 'spoilt');
    await install({ model, source: webSource(), shelf });
    await whole(model);
    const kept = await readFile(join(folder, 'kept', model.id, 'installed.json'), 'utf8');
    expect(Object.keys(JSON.parse(kept))).toEqual(['mdef', 'deep/means']);
  });

  // XDG Base Directory Specification 0.8: an empty XDG_DATA_HOME counts as not set.
  test('is where the system keeps such data, or where it is told', () => {
    expect(modelsFolder({ XDG_DATA_HOME: '/data' }, 'linux')).toBe('/data/plessor/models');
    expect(modelsFolder({ XDG_DATA_HOME: '' }, 'linux')).toMatch(
      /\.local\/share\/plessor\/models$/,
    );
    expect(modelsFolder({}, 'darwin')).toMatch(/Library\/Application Support\/plessor\/models$/);
    expect(modelsFolder({ PLESSOR_MODELS: '/mnt/m' }, 'win32')).toBe('/mnt/m');
  });
});
