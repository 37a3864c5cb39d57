import { calibrationOf, type Ears } from '../app/calibration/index.ts';
import { createEar } from '../app/ear.ts';
import type { LoadedModel } from '../app/models/recogniser.ts';
import { pronunciations } from '../app/pronunciations.ts';
import { createSession, type Session, type Utterance } from '../app/session.ts';
import { earsInNode } from '../engines/ears/node.ts';
import { examEarInNode } from '../engines/examear/node.ts';
import { createSoundswallower } from '../engines/soundswallower/node.ts';
import { type ExamEvent, ms } from '../exam/index.ts';
import type { Evidence, Expectation } from '../interpret/index.ts';
import { PortError, type Sound, soundRate } from '../ports.ts';
import { Fault } from './fault.ts';
import { localized, messages, spokenLanguage } from './language.ts';
import { modelFiles } from './models.ts';

/** Seen from the built program, too, which lies as deep. */
const examEar = new URL('../../src/engines/examear/examear.bin', import.meta.url);

/**
 * A recogniser with a model, the embedded one unless another is named, loaded.
 * @throws Fault when the model is missing or broken
 */
export async function loadedModel(model?: string, ears: Ears = 'both'): Promise<LoadedModel> {
  const files = model === undefined ? {} : { loadFile: await modelFiles(model) };
  const parts = { weights: examEar, pronunciations: pronunciations(), ...files };
  const recogniser = await inNode[ears](parts).catch((cause: unknown) => {
    throw cause instanceof PortError ? new Fault(cause.message) : cause;
  });
  return { recogniser, calibration: calibrationOf(model, ears) };
}

const inNode = { both: earsInNode, exam: examEarInNode, mixture: createSoundswallower } as const;

export interface HeardExam {
  readonly session: Session;
  readonly audioMs: number;
  readonly decodeMs: number;
  /** The loudest sample, 0 to 1. */
  readonly peak: number;
  readonly events: readonly ExamEvent[];
}

export interface HearingOptions extends LoadedModel {
  readonly plan?: string;
  readonly expected?: Expectation | undefined;
  readonly heard?: (utterance: Utterance) => void;
  /** What the recogniser measured of each utterance, for calibration. */
  readonly measured?: (evidence: Evidence) => void;
}

/** One exam, from its sound to its record; the clock is the sound's own. */
export async function hearExam(
  sound: AsyncIterable<Sound> | Iterable<Sound>,
  { recogniser, calibration, plan, expected, heard, measured }: HearingOptions,
): Promise<HeardExam> {
  const language = spokenLanguage();
  const events: ExamEvent[] = [];
  let clock = 0;
  let samples = 0;
  let peak = 0;
  let failure: unknown;
  const session = createSession({
    language,
    messages: messages.dialogue,
    now: () => ms(clock),
    say: () => {},
    hush: () => {},
    keep: (event) => events.push(event),
    help: () => {},
    localize: localized,
    changed: () => {},
  });
  await recogniser.forget();
  session.begin(plan ?? 'full');
  session.prompt(expected);
  const ear = createEar({
    recogniser,
    language,
    calibration,
    context: () => ({ ...session.context, repliesOnly: true }),
    partial: () => {},
    utterance: (words) => {
      clock = Math.max(clock + 1, words.endMs);
      const utterance = session.hear(words);
      heard?.(utterance);
    },
    ...(measured === undefined ? {} : { measured }),
    failed: (why) => {
      failure ??= why;
    },
  });
  for await (const piece of sound) {
    samples += piece.length;
    for (const sample of piece) peak = Math.max(peak, Math.abs(sample));
    ear.push(piece);
    // Sound comes from a file faster than it is heard; waiting here bounds what is in memory.
    await ear.settled();
  }
  await ear.flush();
  if (failure !== undefined) throw failure;
  return {
    session,
    audioMs: Math.round((samples / soundRate) * 1000),
    decodeMs: Math.round(ear.decodeMs),
    peak,
    events,
  };
}
