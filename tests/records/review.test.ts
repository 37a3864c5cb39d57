import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { parseScript } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { checkReview, differences } from '../../src/report/index.ts';
import { readPack } from '../../src/store/index.ts';
import { openRoom, type } from '../browser/browser.ts';
import { sharedBrowser } from '../browser/shared.ts';
import { faultsOfDocument } from '../report/invariants.ts';
import { r4 } from '../report/schema.ts';
import {
  choosePassphrase,
  closePanel,
  downloaded,
  examine,
  openExam,
  openPack,
  openRecords,
  packPassphrase,
  press,
  savePack,
  unlock,
} from './steps.ts';

const { site, chromium } = sharedBrowser();
const room = async () => {
  const opened = await openRoom(chromium, site, { voice: 'silent' });
  opened.page.setDefaultTimeout(50_000);
  return opened;
};
const bytesOf = (buffer: Buffer) => Uint8Array.from(buffer);

/** From now on: the bytes of the last sound that a page made to be played, and whether it played to its end. */
async function playedIn(page: Page) {
  await page.evaluate(() => {
    const played = { wav: '', seconds: 0, toItsEnd: false };
    Object.assign(window, { played });
    const make = URL.createObjectURL;
    URL.createObjectURL = (made) => {
      const reader = new FileReader();
      reader.onload = () => {
        played.wav = String(reader.result).split(',')[1] ?? '';
      };
      if (made instanceof Blob) reader.readAsDataURL(made);
      return make(made);
    };
    const play = HTMLMediaElement.prototype.play;
    HTMLMediaElement.prototype.play = function () {
      this.addEventListener('ended', () => {
        played.seconds = this.currentTime;
        played.toItsEnd = true;
      });
      return play.call(this);
    };
  });
  type Played = { played: { wav: string; seconds: number; toItsEnd: boolean } };
  return () => page.evaluate(() => (window as unknown as Played).played);
}

describe('narrate now, review later', () => {
  test('the sound goes with its finding, the verdicts come back, and nothing changes unseen', async () => {
    // The trainee, who says two findings into a recording.
    const trainee = await room();
    const { page } = trainee;
    await choosePassphrase(page);
    await page.getByLabel('Examiner').fill('Trainee Invented');
    await page.getByLabel('The patient agreed').check();
    await closePanel(page);
    await page.getByText('The sound of what you say is being kept').waitFor();
    const { sound } = await renderedExam(
      parseScript(
        'said',
        'title: Said\nexaminer: right patellar three plus\n  ==> reflex patellar right 3+\npause 2s\nexpect site: no-lesion none\n',
      ),
      'slt',
    );
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    await page.locator('input[type=file][accept*=wav]').setInputFiles({
      name: 'said.wav',
      mimeType: 'audio/wav',
      buffer: Buffer.from(writeWav(sound)),
    });
    await page.getByText('right patellar 3+').first().waitFor({ timeout: 60_000 });
    await examine(page, 'left patellar 2+', 'left plantar flexor');
    await openRecords(page);
    await page.getByText('1 sound kept with this exam').waitFor();
    await page.getByLabel('Where I think the lesion is').fill('left hemisphere');
    const pack = await savePack(page);
    const sent = await readPack(bytesOf(pack), packPassphrase);
    expect(sent.faults).toEqual([]);

    // The supervisor, on another device, without a vault.
    const supervisor = await room();
    const { page: other } = supervisor;
    await openRecords(other);
    await openPack(other, pack, 'not this one');
    await other.getByText('The passphrase does not open this pack').waitFor();
    await openPack(other, pack);
    await other.getByText('Finding 1 of 3').waitFor();
    await other.getByText('Trainee Invented thinks').waitFor();
    await other.getByText('left hemisphere').waitFor();
    await other.getByText('holds: nothing before it was changed').waitFor();
    const saidOfIt = (await other.locator('.review-item').textContent()) ?? '';
    const kept = checkReview(sent.parts);
    const clip = kept.ok ? kept.value.clips[0] : undefined;
    if (clip === undefined) throw new Error('the pack has no sound');
    expect(saidOfIt).toContain('right patellar reflex: 3+');
    expect(saidOfIt).toContain('right patellar three plus');
    expect(clip.readBack).not.toBe('');
    expect(saidOfIt).toContain(clip.readBack);
    // Computed beside what the trainee thinks.
    await other.locator('.opinions').getByText(/\d%/).first().waitFor();
    const playing = await playedIn(other);
    await press(other, 'Play it');
    await other.getByRole('button', { name: 'Playing …' }).waitFor();
    await other.getByRole('button', { name: 'Play it' }).waitFor();
    const played = await playing();
    expect(played.wav).toBe(clip.wav);
    expect(played.toItsEnd).toBe(true);
    // The sound of those words, no more and no less: 16,000 samples of two bytes a second.
    expect(played.seconds).toBeCloseTo((Buffer.from(clip.wav, 'base64').length - 44) / 32_000, 1);
    await press(other, 'Agree');
    await other.getByText('Finding 2 of 3').waitFor();
    await other.getByText('No sound was kept of it.').waitFor();
    await other.getByLabel('Amend to').selectOption('1+');
    await press(other, 'Amend');
    await other.getByText('Finding 3 of 3').waitFor();
    await other.getByLabel('Remark').fill('stroke the outer sole');
    await press(other, 'Query');
    await other.getByLabel('Sign as').fill('Dr Invented');
    const back = await downloaded(other, () => press(other, 'Sign the review'));

    // And the trainee again.
    await openPack(page, back);
    await page.getByText('Every event is as it is in your own record.').waitFor();
    const told = (await page.getByRole('dialog').textContent()) ?? '';
    expect(told).toContain('left patellar reflex: 2+, amended to left patellar reflex: 1+');
    expect(told).toContain('(stroke the outer sole)');
    expect(told.match(/holds: nothing before it was changed/g)).toHaveLength(2);
    const returned = await readPack(bytesOf(back), packPassphrase);
    const review = checkReview(returned.parts);
    if (!review.ok) throw new Error(review.fault.message);
    expect(differences(review.value).map(({ verdict }) => verdict)).toEqual([
      'agree',
      'amend',
      'query',
    ]);
    // What was said of the exam since then is told, event by event.
    await press(page, 'Put the pack away');
    await examine(page, 'jaw jerk 2+');
    await openRecords(page);
    await openPack(page, back);
    await page.getByText(/^Event \d+ is not as it is in your own record/).waitFor();
    expect([...trainee.complaints, ...supervisor.complaints]).toEqual([]);
    await page.context().close();
    await other.context().close();
  }, 120_000);

  test('a changed pack says where, is read as far as it goes, and cannot be signed', async () => {
    const { page } = await room();
    await examine(page, 'right patellar 3+', 'left patellar 2+', 'left biceps 1+');
    await openRecords(page);
    const pack = await savePack(page);
    const verdictless = bytesOf(pack);
    const last = verdictless.length - 40;
    verdictless[last] = (verdictless[last] ?? 0) ^ 1;
    await openPack(page, Buffer.from(verdictless));
    await page.getByText('This pack is not as it was written:').waitFor();
    await page.getByText('Finding 1 of 3').waitFor();
    await page.getByLabel('Sign as').fill('Dr Invented');
    await press(page, 'Agree');
    expect(await page.getByRole('button', { name: 'Sign the review' }).isDisabled()).toBe(true);
    await page.context().close();
  });
});

test('a half-written pack is refused or says that it is cut off; what is kept here stays as it is', async () => {
  const { page, complaints } = await room();
  await choosePassphrase(page);
  await closePanel(page);
  await page.getByLabel('Patient label').fill('bed 4');
  await examine(page, 'right patellar 3+', 'left patellar 2+');
  const before = await downloaded(page, () => press(page, 'Save record (JSON)'));
  await openRecords(page);
  const pack = await savePack(page);
  const dialog = page.getByRole('dialog');
  // Cut in its front: nothing of it can be read.
  for (const length of [0, 40, 100]) {
    await openPack(page, pack.subarray(0, length));
    const line = length === 0 ? 'This is no review pack' : 'The front of this pack is damaged';
    await dialog.getByRole('alert').filter({ hasText: line }).waitFor();
  }
  // Cut further back: read as far as it goes, and not to be signed.
  await openPack(page, pack.subarray(0, pack.length - 40));
  await page.getByText('is missing: the pack is cut off').first().waitFor();
  await page.getByText('Finding 1 of 2').waitFor();
  await page.getByLabel('Sign as').fill('Dr Invented');
  await press(page, 'Agree');
  expect(await page.getByRole('button', { name: 'Sign the review' }).isDisabled()).toBe(true);
  await press(page, 'Put the pack away');
  // The half before the exam's heading is no exam.
  await openPack(page, pack.subarray(0, Math.floor(pack.length / 2)));
  await dialog.getByRole('alert').filter({ hasText: 'is missing' }).waitFor();
  await closePanel(page);
  expect(await downloaded(page, () => press(page, 'Save record (JSON)'))).toEqual(before);
  await page.reload();
  await unlock(page);
  await openExam(page, 'bed 4');
  expect(await downloaded(page, () => press(page, 'Save record (JSON)'))).toEqual(before);
  expect(complaints).toEqual([]);
  await page.context().close();
});

describe('earlier exams', () => {
  test('of one label stand beside each other, by the same words that ask for it aloud', async () => {
    const { page } = await room();
    await type(page, 'compare with last time');
    await page.getByText('Give this exam a patient label first').waitFor();
    await closePanel(page);
    await choosePassphrase(page);
    await closePanel(page);
    await page.getByLabel('Patient label').fill('Bed 4');
    await examine(page, 'right patellar 2+', 'left patellar 2+');
    // An hour earlier, as a record that is taken in.
    const record = await downloaded(page, () => press(page, 'Save record (JSON)'));
    const kept = JSON.parse(record.toString('utf8'));
    const earlier = JSON.stringify({
      ...kept,
      exam: 'earlier',
      startedAt: new Date(Date.parse(kept.startedAt) - 3_600_000).toISOString(),
    }).replaceAll('"2+"', '"3+"');
    await openRecords(page);
    await page.getByLabel('Choose a record (JSON) or FHIR bundle').setInputFiles({
      name: 'record.json',
      mimeType: 'application/json',
      buffer: Buffer.from(earlier),
    });
    await page.getByText('Taken in').waitFor();
    await closePanel(page);
    await type(page, 'compare with last time');
    await page.getByText('Right patellar reflex: 3+ to 2+, better').waitFor();
    const dialog = page.getByRole('dialog');
    expect(await dialog.getByRole('row').count()).toBe(3);
    expect(await dialog.getByRole('figure').count()).toBe(1);
    expect(await dialog.locator('svg desc').textContent()).toBe('right: 3+, 2+; left: 3+, 2+');
    await page.context().close();
  });
});

describe('the record leaves', () => {
  test('as the note on the clipboard, as it would be saved', async () => {
    const { page } = await room();
    await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await examine(page, 'right patellar 3+', 'left patellar 2+');
    await press(page, 'Copy note');
    await page.getByText('The note is on the clipboard.').waitFor();
    const copied = await page.evaluate(() => navigator.clipboard.readText());
    const saved = await downloaded(page, () => press(page, 'Save note'));
    expect(copied).toBe(saved.toString('utf8'));
    expect(copied).toMatch(/patellar/i);
    await page.context().close();
  });

  test('on paper, by itself in a frame that may not connect anywhere', async () => {
    const context = await chromium.browser.newContext();
    const page = await context.newPage();
    await page.addInitScript(() => {
      window.print = () => {
        const top_ = window.top as unknown as { printed: string };
        top_.printed = document.documentElement.outerHTML;
      };
    });
    await page.goto(site.address);
    // A page that is still getting ready draws itself anew; what was typed before that stays.
    await page.getByLabel('Patient label').pressSequentially('<img src=x onerror=');
    await page.getByText('Ready', { exact: true }).waitFor({ timeout: 60_000 });
    expect(await page.getByLabel('Patient label').inputValue()).toBe('<img src=x onerror=');
    await page.getByLabel('Patient label').fill('<img src=x onerror=alert(1)>');
    await examine(page, 'right patellar 3+');
    await press(page, 'Print');
    await page.waitForFunction(() => 'printed' in window);
    const printed = await page.evaluate(() => (window as unknown as { printed: string }).printed);
    expect(printed).toContain('Neurological examination');
    expect(printed).toContain('@page');
    expect(printed).toContain('<svg');
    expect(printed).toContain("connect-src 'none'");
    expect(printed).toContain('&lt;img src=x');
    expect(printed).not.toContain('<img');
    await context.close();
  });

  test('to the FHIR server that the user named, tried again, and told; nowhere else', async () => {
    const asked: { path: string; token: string; body: string }[] = [];
    let refusals = 1;
    const server: Server = createServer(async (request, response) => {
      let body = '';
      for await (const piece of request) body += piece;
      response.setHeader('access-control-allow-origin', '*');
      response.setHeader('access-control-allow-headers', '*, authorization');
      response.setHeader('access-control-expose-headers', 'location');
      if (request.method === 'OPTIONS') return response.writeHead(204).end();
      asked.push({
        path: `${request.method} ${request.url}`,
        token: request.headers.authorization ?? '',
        body,
      });
      if (refusals-- > 0) return response.writeHead(503).end();
      const sent = JSON.parse(body);
      const faults = [...r4.validate(sent, true), ...faultsOfDocument(sent)];
      response.writeHead(faults.length === 0 ? 201 : 422, { location: '/r4/Bundle/1' });
      return response.end();
    }).listen(0, '127.0.0.1');
    await new Promise((resolve) => server.once('listening', resolve));
    const { port } = server.address() as AddressInfo;
    const { page, requests } = await room();
    await examine(page, 'right patellar 3+');
    await openRecords(page);
    await page.getByLabel('Address of the server').fill('http://fhir.example/r4');
    await press(page, 'Send this exam');
    await page.getByText('needs an address that begins with https://').waitFor();
    await page.getByLabel('Address of the server').fill(`http://127.0.0.1:${port}/r4`);
    await page.getByLabel('Bearer token').fill('secret');
    await press(page, 'Send this exam');
    await page.getByText('Trying again').waitFor();
    await page.getByText('The server took it').waitFor();
    expect(asked.map(({ path }) => path)).toEqual(['POST /r4/Bundle', 'POST /r4/Bundle']);
    expect(asked.map(({ token }) => token)).toEqual(['Bearer secret', 'Bearer secret']);
    const elsewhere = requests.filter(
      (url) => !url.startsWith(site.address) && !url.startsWith('blob:'),
    );
    expect(elsewhere.every((url) => url === `http://127.0.0.1:${port}/r4/Bundle`)).toBe(true);
    // The page itself still may not.
    const refused = await page.evaluate(
      (to) =>
        fetch(to).then(
          () => 'came through',
          () => 'refused',
        ),
      `http://127.0.0.1:${port}/`,
    );
    expect(refused).toBe('refused');
    server.close();
    await page.context().close();
  });
});

test('what is taken in is whole or not at all, and runs nothing', async () => {
  const { page, complaints } = await room();
  await choosePassphrase(page);
  await closePanel(page);
  await page.getByLabel('Patient label').fill('bed 4');
  await examine(page, 'right patellar 3+');
  const record = (await downloaded(page, () => press(page, 'Save record (JSON)'))).toString();
  const bundle = (await downloaded(page, () => press(page, 'Save FHIR bundle'))).toString();
  let alerts = 0;
  page.on('dialog', (dialog) => {
    alerts++;
    void dialog.dismiss();
  });
  await openRecords(page);
  const bring = async (text: string) => {
    await page.getByLabel('Choose a record (JSON) or FHIR bundle').setInputFiles({
      name: 'x.json',
      mimeType: 'application/json',
      buffer: Buffer.from(text),
    });
    await page.waitForFunction(() => !document.body.textContent?.includes('One moment'));
  };
  await bring(record);
  await page.getByText('This very exam is here already.').waitFor();
  await bring(bundle);
  await page.getByText('This very exam is here already.').waitFor();
  const foul = '</script><img src=x onerror=alert(1)>';
  for (const text of [
    '',
    'null',
    record.slice(0, -40),
    record.replace('"3+"', '"9+"'),
    record.replace('"right"', '"left"'),
    bundle.replace('"3+"', '"2+"'),
    record.replace('"findings"', `"${foul}": 1, "findings"`),
    'PLESSOR-PACK 1\n',
  ]) {
    await bring(text);
    await page.getByText('Nothing was stored.').waitFor();
    expect(await page.getByRole('button', { name: /^(Open|Delete) / }).count()).toBe(1 + 1);
  }
  // What is sound but carries markup is shown as it was written.
  await bring(
    record.replace('bed 4', foul.replaceAll('"', '')).replace(/"exam": "[^"]*"/, '"exam": "2"'),
  );
  await page.getByText(foul).waitFor();
  expect(alerts).toBe(0);
  expect(complaints).toEqual([]);
  await page.context().close();
});
