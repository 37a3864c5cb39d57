import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expectedRecord, scripts } from '../../demo-audio-scripts/index.ts';
import type { Utterance } from '../../src/app/session.ts';
import { readWav } from '../../src/audio/wav.ts';
import { pieces } from '../../src/cli/demo.ts';
import { hearExam, loadRecogniser } from '../../src/cli/hearing.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import { type Finding, itemKey, standingFindings } from '../../src/exam/index.ts';
import type { Evidence } from '../../src/interpret/index.ts';
import type { FliteVoice } from '../../src/voice/index.ts';

/** One utterance as it was measured: what should have come of it, what did, and its scores. */
interface Trial extends Evidence {
  readonly kind: 'right' | 'wrong' | 'talk';
  readonly outcome: Utterance['outcome'];
}

const key = (finding: Finding): string => `${itemKey(finding)} ${finding.value}`;
const same = (a: readonly Finding[], b: readonly Finding[]): boolean =>
  JSON.stringify(a.map(key).sort()) === JSON.stringify(b.map(key).sort());

const option = (args: readonly string[], name: string): string | undefined =>
  args.includes(name) ? args[args.indexOf(name) + 1] : undefined;

const percent = (part: number, of: number): string =>
  of === 0 ? '–' : `${((100 * part) / of).toFixed(1)} %`;

/**
 * Demo exams in every voice, through the whole pipeline from sound.
 *
 * `--model ID`, `--voices a,b`, `--exams a,b`, and `--corpus DIR` with a folder `conversation` of
 * WAV files that hold no findings. `--scores` prints the measurements, one line of JSON a trial.
 */
export async function bench(args: readonly string[]): Promise<string> {
  const voices = (option(args, '--voices') ?? 'slt,rms,awb,kal16').split(',') as FliteVoice[];
  const names = option(args, '--exams')?.split(',');
  const corpus = option(args, '--corpus');
  const recogniser = await loadRecogniser(option(args, '--model'));
  const trials: Trial[] = [];
  const rows = [
    'voice   findings   right   asked   missed   wrong   from talk   right %   real-time',
  ];
  try {
    for (const voice of voices) {
      const sum = { wanted: 0, right: 0, asked: 0, missed: 0, wrong: 0, talk: 0 };
      let audioMs = 0;
      let decodeMs = 0;
      for (const script of scripts()) {
        if (names !== undefined && !names.includes(script.name)) continue;
        const { sound, placed } = await renderedExam(script, voice);
        const measured: Evidence[] = [];
        const exam = await hearExam(pieces(sound), {
          recogniser,
          measured: (e) => measured.push(e),
        });
        audioMs += exam.audioMs;
        decodeMs += exam.decodeMs;
        const taken = new Set<Utterance>();
        for (const { said, startMs, endMs } of placed) {
          const near = exam.session.utterances.filter(
            (u) => u.endMs > startMs && u.startMs < endMs && !taken.has(u),
          );
          for (const u of near) taken.add(u);
          const found = near.flatMap((u) => u.findings);
          const recorded = near.filter((u) => u.outcome === 'recorded').flatMap((u) => u.findings);
          const asked = near.filter((u) => u.outcome === 'ask').flatMap((u) => u.findings);
          const wanted = new Set(said.findings.map(key));
          sum.wanted += wanted.size;
          if (said.by === 'patient-talk') sum.talk += recorded.length;
          else {
            sum.right += recorded.filter((f) => wanted.has(key(f))).length;
            sum.wrong += recorded.filter((f) => !wanted.has(key(f))).length;
            sum.asked += asked.filter((f) => wanted.has(key(f))).length;
            sum.missed += said.findings.filter((f) => !found.some((g) => key(g) === key(f))).length;
          }
          for (const u of near) {
            const evidence = measured[exam.session.utterances.indexOf(u)];
            if (evidence === undefined) continue;
            const right =
              said.by === 'command' ? u.command === said.command : same(u.findings, said.findings);
            const kind = said.by === 'patient-talk' ? 'talk' : right ? 'right' : 'wrong';
            trials.push({ ...evidence, kind, outcome: u.outcome });
            if (kind === 'wrong' || (kind === 'talk' && u.outcome !== 'ignored')) {
              rows.push(
                `  ${voice} ${script.name}: "${said.words}" heard as "${u.heard}" (${u.outcome}, ${u.confidence.toFixed(2)}, ${evidence.advantage.toFixed(2)}, ${evidence.margin?.toFixed(0)})`,
              );
            }
          }
        }
        const final = new Set(standingFindings(exam.session.state.record).map(key));
        const lost = expectedRecord(script).filter((finding) => !final.has(key(finding)));
        if (lost.length > 0)
          rows.push(`  ${voice} ${script.name}: not in the record: ${lost.map(key).join('; ')}`);
      }
      rows.push(
        [
          voice.padEnd(7),
          ...[sum.wanted, sum.right, sum.asked, sum.missed, sum.wrong, sum.talk].map((n) =>
            String(n).padStart(7),
          ),
          percent(sum.right, sum.wanted).padStart(9),
          (decodeMs / audioMs).toFixed(3).padStart(9),
        ].join(' '),
      );
    }
    if (corpus !== undefined)
      rows.push(...(await conversation(join(corpus, 'conversation'), trials)));
  } finally {
    await recogniser.close();
  }
  if (args.includes('--scores')) rows.push(...trials.map((trial) => JSON.stringify(trial)));
  return rows.join('\n');

  async function conversation(folder: string, all: Trial[]): Promise<readonly string[]> {
    let audioMs = 0;
    let recorded = 0;
    let asked = 0;
    const lines: string[] = [];
    for (const file of (await readdir(folder)).filter((name) => name.endsWith('.wav'))) {
      const bytes = new Uint8Array(await readFile(join(folder, file)));
      const measured: Evidence[] = [];
      const exam = await hearExam(readWav(once(bytes)), {
        recogniser,
        measured: (e) => measured.push(e),
      });
      audioMs += exam.audioMs;
      for (const [i, u] of exam.session.utterances.entries()) {
        const evidence = measured[i];
        if (evidence !== undefined) all.push({ ...evidence, kind: 'talk', outcome: u.outcome });
        if (u.outcome === 'recorded') recorded += 1;
        if (u.outcome === 'ask') asked += 1;
        if (u.outcome !== 'ignored')
          lines.push(`  ${file}: "${u.heard}" ${u.outcome} ${u.confidence.toFixed(2)}`);
      }
    }
    const minutes = audioMs / 60_000;
    lines.push(`conversation, ${minutes.toFixed(1)} min: ${recorded} recorded, ${asked} asked`);
    return lines;
  }
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
