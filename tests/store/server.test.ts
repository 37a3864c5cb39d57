import { type ChildProcess, spawn } from 'node:child_process';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fromFhir, toFhir } from '../../src/report/index.ts';
import { sendBundle } from '../../src/store/index.ts';
import { anyReport } from '../report/arbitrary.ts';
import { rootExam } from '../report/exams.ts';

/**
 * Sending to a FHIR server that others wrote. It is the one general server in the npm registry that runs
 * on Node without a database; Debian has none. It ignores If-None-Exist and takes what the schema forbids,
 * so the strict one of `send.test.ts` stays beside it.
 */
const script = fileURLToPath(new URL('fhirServer.cjs', import.meta.url));

let server: ChildProcess;
let origin: string;
let base: string;
beforeAll(async () => {
  const port = await freePort();
  origin = `http://127.0.0.1:${port}`;
  base = `${origin}/4_0_0`;
  // As a server runs that is in use: in a test's environment this one lets everybody in.
  const { NODE_ENV: _test, ...env } = process.env;
  server = spawn(process.execPath, [script, String(port)], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env,
  });
  await new Promise<void>((resolve, reject) => {
    server.stdout?.once('data', () => resolve());
    server.once('exit', () => reject(new Error('the server ended by itself')));
  });
}, 60_000);
afterAll(() => {
  server.kill();
});

function freePort(): Promise<number> {
  const probe = createServer();
  return new Promise((resolve) => {
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === 'object' ? (address?.port ?? 0) : 0));
    });
  });
}

const entries = (bundle: unknown) =>
  (JSON.parse(JSON.stringify(bundle)) as { entry: unknown }).entry;
const token = 'secret';

async function given(where: string | undefined): Promise<string> {
  const headers = { accept: 'application/fhir+json', authorization: `Bearer ${token}` };
  const answer = await fetch(new URL(where ?? '', `${origin}/`), { headers });
  return answer.text();
}

test('an exam is taken, and given back with every side and grade', async () => {
  const bundle = toFhir(rootExam);
  const back = await given(await sendBundle({ base, token }, bundle));
  expect(entries(JSON.parse(back))).toEqual(entries(bundle));
  const read = fromFhir(back);
  expect(read.ok && read.value.record).toEqual(rootExam.record);
});

test('so is any exam', async () => {
  await fc.assert(
    fc.asyncProperty(anyReport, async (report) => {
      const bundle = toFhir(report);
      const back = await given(await sendBundle({ base, token }, bundle));
      expect(entries(JSON.parse(back))).toEqual(entries(bundle));
    }),
    { numRuns: 50 },
  );
}, 60_000);

test.each(['wrong', undefined])('with the token %s it says no, in one line', async (other) => {
  const refused = sendBundle(
    { base, ...(other === undefined ? {} : { token: other }) },
    toFhir(rootExam),
  );
  await expect(refused).rejects.toThrow(/^The Bundle was not sent: the server answered 401.*/);
});

test('at an address that is none of its own it says no, in one line', async () => {
  const refused = sendBundle({ base: `${origin}/5_0_0`, token }, toFhir(rootExam));
  await expect(refused).rejects.toThrow(/^The Bundle was not sent: the server answered 404/);
});
