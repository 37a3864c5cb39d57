import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { get, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const { serve } = (await import(new URL('../../src/cli/serve.mjs', import.meta.url).href)) as {
  serve(root: string): Server;
};

let folder: string;
let server: Server;
let port: number;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plessor-serve-'));
  const root = join(folder, 'page');
  await mkdir(join(root, 'assets'), { recursive: true });
  await writeFile(join(folder, 'secret.txt'), 'not for the page');
  await writeFile(join(root, 'index.html'), '<!doctype html>');
  await writeFile(join(root, 'assets', 'a.js'), 'export {}');
  await writeFile(join(root, 'assets', 'b.wasm'), new Uint8Array([0, 0x61, 0x73, 0x6d]));
  await writeFile(join(root, 'assets', 'means'), 'model');
  await symlink(join(folder, 'secret.txt'), join(root, 'link.txt'));
  server = serve(root).listen(0, '127.0.0.1');
  await new Promise((listening) => server.once('listening', listening));
  port = (server.address() as AddressInfo).port;
});
afterAll(async () => {
  server.close();
  await rm(folder, { recursive: true });
});

/** A path as it is, where `fetch` would tidy it up first. */
const raw = (path: string): Promise<number | undefined> =>
  new Promise((resolve, reject) => {
    get({ host: '127.0.0.1', port, path }, (response) => {
      response.resume();
      resolve(response.statusCode);
    }).on('error', reject);
  });
const at = (path: string, init?: RequestInit) => fetch(`http://127.0.0.1:${port}${path}`, init);

// Media types: IANA registry; "text/javascript" is RFC 9239.
test.each([
  ['/', 'text/html; charset=utf-8'],
  ['/assets/a.js', 'text/javascript; charset=utf-8'],
  ['/assets/b.wasm', 'application/wasm'],
  ['/assets/means', 'application/octet-stream'],
])('%s is %s', async (path, type) => {
  const response = await at(path);
  expect(response.status).toBe(200);
  expect(response.headers.get('content-type')).toBe(type);
});

test('every file comes with a policy that keeps the page to its own origin', async () => {
  const policy = (await at('/')).headers.get('content-security-policy') ?? '';
  expect(policy).toContain("default-src 'self'");
  expect(policy).toContain("connect-src 'self';");
  expect(policy).toContain("script-src 'self' 'wasm-unsafe-eval';");
  expect(policy).toContain("frame-ancestors 'none'");
  expect(policy).not.toMatch(/https?:|\*|'unsafe-inline'|'unsafe-eval'/);
});

describe('what lies outside the folder stays outside', () => {
  test.each([
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/assets/../../secret.txt',
    '/%2e%2e/secret.txt',
    '/assets/..%5c..%5csecret.txt',
    '/link.txt',
    '/%00',
    '/%zz',
    '/../page-other/x',
  ])('%s', async (path) => {
    expect(await raw(path)).toBe(404);
  });
});

test('a missing file is not answered with the page, which would pass for a model', async () => {
  expect((await at('/model/en-us/mdef')).status).toBe(404);
});

test('HEAD has the length and no body; POST is refused', async () => {
  const head = await at('/assets/a.js', { method: 'HEAD' });
  expect(head.headers.get('content-length')).toBe('9');
  expect(await head.text()).toBe('');
  expect((await at('/', { method: 'POST' })).status).toBe(405);
});
