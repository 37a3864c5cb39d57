import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { fileShelf } from '../../src/store/files.ts';
import { SealedVault } from '../../src/store/index.ts';
import { bundledFile } from './bundle.ts';
import { firstOnes, keyFrom } from './events.ts';

/** Runs the victim until it is killed, somewhere in mid exam; gives the last event it told of. */
function killedInMidExam(script: string, words: readonly string[], afterMs: number) {
  return new Promise<number>((resolve, reject) => {
    const victim = spawn(process.execPath, [script, ...words], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let told = '';
    let complaint = '';
    victim.stdout.on('data', (data) => {
      if (told === '') setTimeout(() => victim.kill('SIGKILL'), afterMs);
      told += data;
    });
    victim.stderr.on('data', (data) => {
      complaint += data;
    });
    victim.on('close', (_, signal) => {
      const last = told.split('\n').at(-2);
      if (signal === 'SIGKILL' && last !== undefined) resolve(Number(last));
      else reject(new Error(`the victim ended by itself: ${complaint}`));
    });
  });
}

test('200 kills in mid exam lose no finding whose read-back had begun', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'plessor-kill-'));
  const raw = crypto.getRandomValues(new Uint8Array(32));
  const key = await keyFrom(raw);
  const script = await bundledFile('./victim.ts');
  const hex = Buffer.from(raw).toString('hex');
  for (let kill = 0; kill < 200; kill++) {
    // Exams are gone on with after some of the kills, as an examiner would.
    const exam = `exam-${kill >> 2}`;
    const last = await killedInMidExam(script, [folder, exam, hex], Math.random() * 30);
    const events = await new SealedVault(fileShelf(folder), key).load(exam);
    expect(events.length).toBeGreaterThan(last);
    expect(events).toEqual(firstOnes(events.length));
  }
  await rm(folder, { recursive: true });
}, 400_000);
