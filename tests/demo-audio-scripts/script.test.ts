import { describe, expect, test } from 'vitest';
import {
  expectedRecord,
  parseFinding,
  parseScript,
  renderScript,
  speaker,
} from '../../demo-audio-scripts/index.ts';
import { soundRate } from '../../src/ports.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';

const text = `
title: A short exam
note: Invented.
# a remark
examiner: right patellar three plus, left two plus
  ==> reflex patellar right 3+ ; reflex patellar left 2+
patient-talk: just let your leg hang loose for me
pause 2.5s
examiner: correction, left three plus
  ==> reflex patellar left 3+
examiner: six beats of clonus at the left ankle
  ==> clonus ankle left unsustained x6
command: undo
  ==> ! undo
command: exam complete
  ==> ! exam-complete
expect site: root:L4 left ; no-lesion none
`;

describe('a script is read', () => {
  const script = parseScript('short', text);

  test('in the order of its lines', () => {
    expect(script.lines.map((line) => (line.is === 'said' ? line.by : line.ms))).toEqual([
      'examiner',
      'patient-talk',
      2500,
      'examiner',
      'examiner',
      'command',
      'command',
    ]);
    expect(script.lines[0]).toMatchObject({
      words: 'right patellar three plus, left two plus',
      findings: [
        { kind: 'reflex', site: 'patellar', side: 'right', value: '3+' },
        { kind: 'reflex', site: 'patellar', side: 'left', value: '2+' },
      ],
      line: 5,
    });
  });

  test('with the sites it is about', () => {
    expect(script.sites).toEqual([
      { site: 'root:L4', side: 'left' },
      { site: 'no-lesion', side: 'none' },
    ]);
  });

  test('with what must stand at the end: the corrected value, and nothing taken back', () => {
    expect(expectedRecord(script)).toEqual([
      { kind: 'reflex', site: 'patellar', side: 'right', value: '3+' },
      { kind: 'reflex', site: 'patellar', side: 'left', value: '3+' },
    ]);
  });
});

test.each([
  [
    'sensation L5 left reduced/pinprick',
    { kind: 'sensation', site: 'L5', side: 'left', value: 'reduced', modality: 'pinprick' },
  ],
  ['context age midline 62', { kind: 'context', site: 'age', side: 'midline', value: 62 }],
  [
    'reflex achilles left 1+ +with-reinforcement +trace',
    {
      kind: 'reflex',
      site: 'achilles',
      side: 'left',
      value: '1+',
      qualifiers: ['with-reinforcement', 'trace'],
    },
  ],
])('%s', (short, finding) => {
  expect(parseFinding(short)).toEqual({ ok: true, value: finding });
});

describe('what is wrong with a script is told with its line', () => {
  const head = 'title: x\nexpect site: no-lesion none\n';
  test.each([
    [`${head}examiner: left plantar extensor\n  ==> plantar foot left up`, /^a\.txt:4: .*flexor/],
    [
      `${head}examiner: left plantar extensor\n  ==> plantar foot left`,
      /^a\.txt:4: .*missing|value/,
    ],
    [`${head}examiner: left plantar extensor`, /^a\.txt:3: no findings are expected/],
    [`${head}command: undo`, /^a\.txt:3: no command is expected/],
    [`${head}command: undo\n ==> plantar foot left mute`, /^a\.txt:4: a command is written/],
    [`${head}patient-talk: hello\n ==> plantar foot left mute`, /^a\.txt:4: "==>" must follow/],
    [`${head}nurse: hello`, /^a\.txt:3: "nurse: hello" is none of/],
    [`${head}pause soon`, /^a\.txt:3: "pause soon" is none of/],
    ['title: x\nexpect site: root:C7', /^a\.txt:2: a site is written/],
    ['title: x', /^a\.txt:1: there is no "expect site:"/],
    ['expect site: no-lesion none', /^a\.txt:1: there is no "title:"/],
    [`${head}examiner: x\n ==> clonus ankle left absent six`, /^a\.txt:4: .*cannot end in "six"/],
  ])('%#', (wrong, message) => {
    expect(() => parseScript('a', wrong)).toThrow(message);
  });
});

describe('an exam is rendered to one sound', () => {
  const script = parseScript('short', text);
  /** A voice that says each character as a tenth of a second of one loud sample value. */
  const speak = async (words: string) => new Float32Array(words.length * 1600).fill(0.5);

  test('with each utterance where it says it is', async () => {
    const { sound, placed } = await renderScript(script, speak);
    expect(placed.map(({ said }) => said.words)).toEqual(
      script.lines.flatMap((line) => (line.is === 'said' ? [line.words] : [])),
    );
    for (const { startMs, endMs } of placed) {
      const middle = sound[Math.round((((startMs + endMs) / 2) * soundRate) / 1000)];
      expect(middle).toBeCloseTo(0.5, 1);
    }
  });

  test('with a pause of 0.9 s at least between two, and the pause that the script asks for', async () => {
    const { placed } = await renderScript(script, speak);
    const pauses = placed.slice(1).map(({ startMs }, i) => startMs - (placed[i]?.endMs ?? 0));
    expect(Math.min(...pauses)).toBeGreaterThanOrEqual(900);
    expect(pauses[1]).toBe(2500);
  });

  test('over the sound of a quiet room, never digital silence', async () => {
    const { sound } = await renderScript(script, speak);
    const lead = sound.subarray(0, 4000);
    const level = Math.sqrt(lead.reduce((sum, x) => sum + x * x, 0) / lead.length);
    expect(20 * Math.log10(level)).toBeGreaterThan(-75);
    expect(20 * Math.log10(level)).toBeLessThan(-65);
    expect(new Set(lead).size).toBeGreaterThan(1000);
  });

  test('the same each time', async () => {
    const [one, two] = await Promise.all([1, 2].map(() => renderScript(script, speak)));
    expect(one?.sound).toEqual(two?.sound);
  });
});

test('an exam at 8 kHz and one at 16 kHz take about the same time and are both heard', async () => {
  const script = parseScript('short', text);
  const flite = fliteInNode();
  const [narrow, wide] = await Promise.all(
    (['kal', 'kal16'] as const).map((voice) => renderScript(script, speaker(flite, { voice }))),
  );
  const seconds = (rendering = wide) => (rendering?.sound.length ?? 0) / soundRate;
  expect(seconds(narrow) / seconds(wide)).toBeGreaterThan(0.9);
  expect(seconds(narrow) / seconds(wide)).toBeLessThan(1.1);
  for (const rendering of [narrow, wide]) {
    for (const { startMs, endMs } of rendering?.placed ?? []) {
      const heard = rendering?.sound.subarray(startMs * 16, endMs * 16) ?? new Float32Array(0);
      expect(heard.reduce((peak, x) => Math.max(peak, Math.abs(x)), 0)).toBeGreaterThan(0.05);
    }
  }
});
