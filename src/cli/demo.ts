import { scripts } from '../../demo-audio-scripts/index.ts';
import { findingName, openEntries, standingFindings } from '../exam/index.ts';
import type { Sound } from '../ports.ts';
import { type FliteVoice, fliteVoices } from '../voice/index.ts';
import { Fault } from './fault.ts';
import { hearExam, loadedModel } from './hearing.ts';
import { localized, messages } from './language.ts';
import { localizationText } from './localization.ts';
import { commandLine } from './messages.ts';
import { answer, tell, utteranceText } from './output.ts';
import { renderedExam } from './rendering.ts';

export interface DemoOptions {
  readonly name: string | undefined;
  readonly list: boolean;
  readonly voice: string | undefined;
}

const { demo: text } = commandLine;

const usualDemo = 'corrections';
const usualVoice: FliteVoice = 'slt';

/** `demo`: renders an invented exam, hears it, and shows all that comes of it. */
export async function demo({ name, list, voice = usualVoice }: DemoOptions): Promise<void> {
  const all = scripts();
  if (list) {
    answer(all.map((script) => `${script.name.padEnd(16)} ${script.title}`).join('\n'));
    return;
  }
  const wanted = name ?? usualDemo;
  const script = all.find((one) => one.name === wanted);
  if (script === undefined) {
    throw new Fault(text.noDemo(wanted, all.map((one) => one.name).join(', ')));
  }
  if (!(fliteVoices as readonly string[]).includes(voice)) {
    throw new Fault(text.noVoice(voice, fliteVoices.join(', ')));
  }
  answer(`${script.title}\n${script.note}\n`);
  tell(text.rendering(voice));
  const { sound } = await renderedExam(script, voice as FliteVoice);
  tell(`${text.loading}\n`);
  const hearer = await loadedModel();
  try {
    const { session, audioMs, decodeMs } = await hearExam(pieces(sound), {
      ...hearer,
      heard: (utterance) => answer(utteranceText(utterance, true)),
    });
    const { record } = session.state;
    answer(`\n${text.record}`);
    for (const finding of standingFindings(record))
      answer(`  ${findingName(finding, messages.names)}`);
    const open = openEntries(record);
    if (open.length > 0) {
      const names = open.map(({ finding }) => findingName(finding, messages.names));
      answer(text.notConfirmed(names.join('; ')));
    }
    answer(`${text.notExamined(session.notExamined().join(', ') || text.nothing)}\n`);
    answer(localizationText(session.localization ?? localized(standingFindings(record))));
    const heard = (decodeMs / 1000).toFixed(1);
    const factor = (decodeMs / audioMs).toFixed(2);
    tell(`\n${text.took((audioMs / 1000).toFixed(0), heard, factor)}`);
  } finally {
    await hearer.recogniser.close();
  }
}

/** Sound as a microphone gives it, a tenth of a second at a time. */
export function* pieces(sound: Sound): Generator<Sound> {
  for (let at = 0; at < sound.length; at += 1600) yield sound.subarray(at, at + 1600);
}
