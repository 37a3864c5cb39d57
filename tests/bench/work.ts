import type { Page } from 'playwright-core';
import { scripts, speaker } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { readBackText } from '../../src/dialogue/index.ts';
import { bearing, type Finding, findingName } from '../../src/exam/index.ts';
import { itemId, itemOf } from '../../src/localize/item.ts';
import type { Sound } from '../../src/ports.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';
import { type Air, openAir } from '../browser/air.ts';
import {
  listen,
  openBrowser,
  openRoom,
  openSite,
  type Site,
  savedRecord,
} from '../browser/browser.ts';

/**
 * The same forty-odd findings, in seconds: spoken in the page, with a rendered voice as the examiner who
 * waits for each read-back; and put into a plain form by keyboard or pointer.
 *
 * The form is reckoned by the keystroke-level model (Card, Moran, Newell: The keystroke-level model
 * for user performance time with interactive systems, Communications of the ACM 23:396-410, 1980),
 * with its operators as Card, Moran, Newell 1983 are quoted in teaching (Universität Hamburg, ASI, GOMS); nobody was timed. Of the examiner who speaks only the thinking
 * before each breath is reckoned, as in the form; all else is how long the page and the voice took.
 */
export async function bench(): Promise<string> {
  const lines = breaths();
  const count = lines.reduce((sum, { findings }) => sum + findings.length, 0);
  const form = (how: number, homing: number): number => count * (how + homing);
  const row = (name: string, seconds: number, more = '', findings = count): string =>
    `| ${name} | ${findings} | ${seconds.toFixed(0)} s | ${(seconds / findings).toFixed(1)} s | ${more} |`;
  const site = await openSite();
  try {
    const every = await byVoice(site, lines, 'every');
    const abnormal = await byVoice(site, lines, 'costly');
    const told = (done: Done): string =>
      `of ${done.items} items ${done.right} right in the end, ${done.wrong} wrong; ${done.asked} asked, ${done.again} said again; ${done.gaps} gaps in the sound`;
    return [
      `${count} findings in ${lines.length} breaths, ${lines.filter(({ abnormal }) => abnormal).length} of them with something abnormal, which was affirmed`,
      '| way | findings | all | a finding | |',
      '|---|---|---|---|---|',
      row('by voice, every finding spoken back', every.seconds, told(every), every.said),
      row(
        'by voice, only what is abnormal spoken back',
        abnormal.seconds,
        told(abnormal),
        abnormal.said,
      ),
      row('form, keys alone, hands stay on the keyboard', form(keyed, 0)),
      row('form, keys, the hammer put down and taken up for each', form(keyed, 2 * laid)),
      row('form, pointer, the hammer put down and taken up for each', form(pointed, 2 * laid)),
    ].join('\n');
  } finally {
    await site.close();
  }
}

/** The model's operators, in seconds: a key by an average typist who is no secretary, pointing, homing, thinking. */
const K = 0.28;
const P = 1.1;
const H = 0.4;
const M = 1.35;
/** Tab to the field, two keys of the grade ("2+" wants Shift, too), nothing else. */
const keyed = M + K + 3 * K;
/** Find the field, click, find the grade in its list, click. */
const pointed = M + P + K + M / 2 + P + K;
/** A thing laid down or taken up, reckoned as homing. */
const laid = H;

/**
 * So long a pass may take, s: where the machine is too busy to hear as it is spoken, the findings of the
 * breaths until then are reckoned.
 */
const passS = 235;

interface Done {
  readonly seconds: number;
  /** Findings that were said. */
  readonly said: number;
  /** What they were about; some items were examined twice. */
  readonly items: number;
  /** Pieces of sound that the machine lost; what they were a part of had to be said again. */
  readonly gaps: number;
  readonly right: number;
  readonly wrong: number;
  /** Questions that were answered. */
  readonly asked: number;
  /** Breaths that were not understood at once. */
  readonly again: number;
}

async function byVoice(
  site: Site,
  lines: readonly Breath[],
  aloud: 'every' | 'costly',
): Promise<Done> {
  const say = speaker(fliteInNode(), { voice: 'rms' });
  const sounds = new Map<string, Sound>();
  for (const words of [...lines.map(({ words }) => words), 'affirm', 'disregard']) {
    sounds.set(words, await say(words));
  }
  const chromium = await openBrowser({ wav: writeWav(new Float32Array(16_000)) });
  try {
    const { page } = await openRoom(chromium, site, { voice: 'embedded', aloud });
    // Soft enough for every ear, and no dead microphone.
    const air = await openAir(page, 0, 0.001);
    await listen(page);
    let asked = 0;
    let again = 0;
    let breaths = 0;
    const said: Finding[] = [];
    const from = performance.now();
    const passed = (): number => (performance.now() - from) / 1000;
    for (const { words, findings, abnormal } of lines) {
      if (passed() > passS) break;
      said.push(...findings);
      for (let tries = 0; tries < 2; tries++) {
        await page.waitForTimeout(M * 1000);
        if (!(await turn(page, air, sounds.get(words)))) {
          again += 1;
          continue;
        }
        const question = page.getByRole('region', { name: /Question/ });
        const told = (await question.count()) > 0 ? ((await question.textContent()) ?? '') : '';
        if (told === '') break;
        asked += 1;
        const right = told.includes(readBackText(findings));
        await turn(page, air, sounds.get(right ? 'affirm' : 'disregard'));
        if (right) break;
        again += 1;
      }
      if (abnormal) await turn(page, air, sounds.get('affirm'));
      breaths += 1;
      process.stderr.write(
        `${aloud}: ${breaths} of ${lines.length} breaths after ${passed().toFixed(0)} s, ${asked} asked, ${again} again\n`,
      );
    }
    const seconds = passed();
    const gaps = await page.evaluate(() => globalThis.marks.of('gap').length);
    const saved = (await savedRecord(page)) as { readonly findings: readonly Finding[] };
    // What was examined twice is what it was the last time.
    const last = new Map(said.map((finding) => [itemId(itemOf(finding)), findingName(finding)]));
    const wanted = new Set(last.values());
    const right = saved.findings.filter((finding) => wanted.has(findingName(finding))).length;
    return {
      seconds,
      said: said.length,
      items: last.size,
      gaps,
      right,
      wrong: saved.findings.length - right,
      asked,
      again,
    };
  } finally {
    await chromium.close();
  }
}

/** So long an examiner waits for a sign that anything was heard. */
const patienceMs = 10_000;

/**
 * Says something, and waits until it was heard and the page has said what it has to.
 *
 * @returns whether it was heard
 */
async function turn(page: Page, air: Air, sound: Sound | undefined): Promise<boolean> {
  if (sound === undefined) return true;
  const heard = () => page.evaluate(() => globalThis.marks.of('understood').length);
  const before = await heard();
  await air.play(sound);
  const answered = await page
    .waitForFunction(
      (n) =>
        globalThis.marks.of('understood').length > n &&
        document.querySelector('[data-standing]')?.getAttribute('data-standing') === 'listening',
      before,
      { polling: 20, timeout: patienceMs },
    )
    .then(
      () => true,
      () => false,
    );
  if (!answered) return false;
  // What is spoken back begins a little after it was understood; its end opens the ear.
  await page.waitForTimeout(150);
  await page.waitForFunction(
    () => document.querySelector('[data-standing]')?.getAttribute('data-standing') === 'listening',
    undefined,
    { polling: 20, timeout: 60_000 },
  );
  await page.waitForTimeout(tailMs);
  return true;
}

/** The ear opens so long after the last word. */
const tailMs = 350;

interface Breath {
  readonly words: string;
  readonly findings: readonly Finding[];
  readonly abnormal: boolean;
}

/** Twenty findings of a normal exam, and twenty of one with a root lesion, as they are said. */
function breaths(): readonly Breath[] {
  return ['normal', 'root-l5'].flatMap((name) => {
    const lines = scripts().find((script) => script.name === name)?.lines ?? [];
    let count = 0;
    return lines.flatMap((line): readonly Breath[] => {
      if (line.is !== 'said' || line.by !== 'examiner' || count >= 20) return [];
      const { words, findings } = line;
      count += findings.length;
      const abnormal = findings.some((finding) => bearing(finding) === 'abnormal');
      return [{ words, findings, abnormal }];
    });
  });
}
