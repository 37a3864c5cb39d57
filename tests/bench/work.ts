import { scripts } from '../../demo-audio-scripts/index.ts';
import { readBackText } from '../../src/dialogue/index.ts';
import { bearing, type Finding } from '../../src/exam/index.ts';
import { fliteInNode } from '../../src/voice/flite/node.ts';

/**
 * The same forty-odd findings, in seconds: spoken in the page with each read back, spoken with
 * only what is abnormal read back, and put into a plain form by keyboard or pointer.
 *
 * The form is reckoned by the keystroke-level model (Card, Moran, Newell: The keystroke-level model
 * for user performance time with interactive systems, Communications of the ACM 23:396-410, 1980),
 * with its operators from memory; nobody was timed. The voice is reckoned from rendered speech and
 * the waits that the program has, not from people.
 */
export async function bench(): Promise<string> {
  const flite = fliteInNode();
  const length = async (words: string): Promise<number> => {
    const { samples, sampleRate } = await flite.render(words, { voice: 'slt' });
    return samples.length / sampleRate;
  };
  let said = 0;
  let back = 0;
  let backAbnormal = 0;
  const lines = breaths();
  for (const { words, findings, abnormal } of lines) {
    said += (await length(words)) + waits.mind + waits.endpoint + waits.recogniser;
    const answer = (await length(readBackText(findings))) + waits.tail;
    back += answer;
    if (abnormal) backAbnormal += answer + (await length('affirm')) + waits.endpoint;
  }
  const count = lines.reduce((sum, { findings }) => sum + findings.length, 0);
  const form = (how: number, homing: number): number => count * (how + homing);
  const row = (name: string, seconds: number): string =>
    `| ${name} | ${seconds.toFixed(0)} s | ${(seconds / count).toFixed(1)} s |`;
  return [
    `${count} findings in ${lines.length} breaths, ${lines.filter(({ abnormal }) => abnormal).length} of them abnormal; a reckoning, nobody was timed`,
    '| way | all | a finding |',
    '|---|---|---|',
    row('by voice, every finding spoken back', said + back),
    row('by voice, only what is abnormal spoken back and confirmed', said + backAbnormal),
    row('form, keys alone, hands stay on the keyboard', form(keyed, 0)),
    row('form, keys, the hammer put down and taken up for each', form(keyed, 2 * laid)),
    row('form, pointer, the hammer put down and taken up for each', form(pointed, 2 * laid)),
  ].join('\n');
}

/** The model's operators, in seconds: a key by an average typist, pointing, homing, thinking. */
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

/** The program's own waits, in seconds; `mind` is the examiner's, as in the form. */
const waits = { mind: M, endpoint: 0.5, recogniser: 0.2, tail: 0.35 } as const;

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
