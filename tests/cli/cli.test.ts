import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { parseScript } from '../../demo-audio-scripts/index.ts';
import { writeWav } from '../../src/audio/wav.ts';
import { renderedExam } from '../../src/cli/rendering.ts';

const program = fileURLToPath(new URL('../../src/cli/plessor.mjs', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'plessor-'));

/** Runs the built command line; tests are run after a build. */
function plessor(...args: readonly string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], {
    encoding: 'utf8',
  });
  return { status, stdout, lines: stderr.trimEnd().split('\n') };
}

const file = (name: string, content: string | Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
};

describe('interpret', () => {
  test('gives JSON alone on standard output, in the form of the contract', () => {
    const { status, stdout } = plessor('interpret', 'right patellar three plus', '--json');
    expect(status).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({
      heard: 'right patellar three plus',
      confidence: 1,
      outcome: 'recorded',
      findings: [{ kind: 'reflex', site: 'patellar', side: 'right', value: '3+' }],
      command: null,
      readBack: 'Right patellar three plus.',
    });
  });
  test('reads a file a line at a time, as one exam', () => {
    const words = file(
      'words.txt',
      'left patellar 2+\ncorrection, left three plus\nexam complete\n',
    );
    const { stdout } = plessor('interpret', '--file', words, '--json');
    const utterances = JSON.parse(stdout);
    expect(utterances.map((u: { outcome: string }) => u.outcome)).toEqual([
      'recorded',
      'recorded',
      'command',
    ]);
    expect(utterances[1].findings[0].value).toBe('3+');
  });
  test('a prompted item takes side and grade alone', () => {
    const { stdout } = plessor(
      'interpret',
      'right two, left three',
      '--expect',
      'reflex:patellar',
      '--json',
    );
    expect(JSON.parse(stdout).findings).toEqual([
      { kind: 'reflex', site: 'patellar', side: 'right', value: '2+' },
      { kind: 'reflex', site: 'patellar', side: 'left', value: '3+' },
    ]);
  });
});

describe('listen', () => {
  test('a spoken exam becomes record, summary and papers', { timeout: 120_000 }, async () => {
    const script = parseScript(
      'short',
      [
        'title: Short',
        'examiner: right plantar extensor',
        '  ==> plantar foot right extensor',
        'examiner: ankle jerks absent bilaterally',
        '  ==> reflex achilles left 0 ; reflex achilles right 0',
        'command: exam complete',
        '  ==> ! exam-complete',
        'expect site: cauda-equina both',
      ].join('\n'),
    );
    const wav = file('short.wav', writeWav((await renderedExam(script, 'slt')).sound));
    const out = join(folder, 'papers');
    const { status, stdout } = plessor('listen', wav, '--json', '--out', out);
    expect(status).toBe(0);
    const heard = JSON.parse(stdout);
    expect(heard.file).toBe(wav);
    expect(heard.record.findings).toHaveLength(3);
    expect(heard.summary.hypotheses.length).toBeGreaterThan(0);
    expect(heard.timing.audioMs).toBeGreaterThan(3000);
    expect(readdirSync(out).sort()).toEqual([
      'bundle.fhir.json',
      'note.html',
      'note.txt',
      'record.csv',
      'record.json',
    ]);
    expect(plessor('localize', join(out, 'record.json'), '--json').status).toBe(0);
  });
});

describe('bad input: one line, exit 2', () => {
  test.each([
    ['an unknown verb', ['sing'], 'there is no "sing"'],
    ['an unknown option', ['listen', '--loud'], 'listen:'],
    ['no recording', ['listen'], 'needs a recording'],
    ['a missing file', ['listen', '/nowhere/exam.wav'], 'there is no such file'],
    ['an empty file', ['listen', file('empty.wav', '')], 'the file is empty'],
    ['no WAV', ['listen', file('text.wav', 'not a recording at all, just text')], 'not a WAV'],
    [
      'a silent recording',
      ['listen', file('silent.wav', writeWav(new Float32Array(32_000)))],
      'only silence',
    ],
    [
      'a recording cut short',
      ['listen', file('cut.wav', writeWav(new Float32Array(32_000).fill(0.1)).subarray(0, 20_000))],
      'cut short',
    ],
    [
      'an unknown model',
      ['listen', file('model.wav', 'RIFF'), '--model', 'x'],
      'there is no model "x"',
    ],
    ['an unknown item', ['interpret', 'x', '--expect', 'reflex:elbow'], 'not a site of reflex'],
    ['a record that is no JSON', ['localize', file('bad.json', '{')], 'is not JSON'],
    ['a record without findings', ['localize', file('none.json', '{}')], 'has no "findings"'],
    [
      'a grade off its scale',
      [
        'localize',
        file(
          'off.json',
          '{"findings":[{"kind":"reflex","site":"jaw","side":"midline","value":"7+"}]}',
        ),
      ],
      'findings[0].value is "7+"',
    ],
    ['an unknown demo', ['demo', 'opera'], 'there is no demo'],
  ])('%s', (_, args, message) => {
    const { status, stdout, lines } = plessor(...args);
    expect(status).toBe(2);
    expect(stdout).toBe('');
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(message);
  });
});

test('nothing examined localizes nothing, and says so', () => {
  const { status, stdout } = plessor('localize', file('zero.json', '{"findings":[]}'), '--json');
  expect(status).toBe(0);
  expect(JSON.parse(stdout).nothing).toBeTruthy();
});

test('every demo exam can be listed', () => {
  const { stdout } = plessor('demo', '--list');
  expect(stdout.trim().split('\n').length).toBeGreaterThanOrEqual(6);
});

test('the version of the embedded model is the one the manifest means', () => {
  const { stdout } = plessor('models', '--json');
  expect(JSON.parse(stdout)[0]).toMatchObject({ id: 'soundswallower-en-us', installed: true });
  expect(readFileSync(program, 'utf8')).toContain('plessor');
});
