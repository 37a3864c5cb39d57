import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createEar } from '../../src/app/ear.ts';
import type { LoadedModel } from '../../src/app/models/recogniser.ts';
import { callsOf } from '../../src/app/phrases.ts';
import { createSession, type Session } from '../../src/app/session.ts';
import { loadedModel } from '../../src/cli/hearing.ts';
import { spokenLanguage } from '../../src/cli/language.ts';
import { findingName, ms, standingFindings } from '../../src/exam/index.ts';
import { joined, type Sound } from '../../src/ports.ts';
import { pieces, silence, spoken } from '../engines/speech.ts';

const language = spokenLanguage();
const calls = callsOf(language);

let model: LoadedModel;
beforeAll(async () => {
  model = await loadedModel();
});
afterAll(() => model.recogniser.close());

/** The same talk of an exam as two people would have it: one who calls by a word, one who does not. */
const exam = [
  'right knee jerk two plus',
  'left patellar three plus',
  'right ankle jerk absent',
  'left biceps two plus and right biceps one plus',
  'right plantar extensor',
] as const;
const found = [
  'right patellar 2+',
  'left patellar 3+',
  'right ankle jerk 0',
  'left biceps reflex 2+',
  'right biceps reflex 1+',
  'right plantar extensor',
].sort();

/** Talk before which nobody calls, though some of it ends as a finding would. */
const talk = [
  'please right knee jerk two plus',
  'pressure right ankle jerk absent',
  'yes sir left patellar three plus',
  'for the right knee jerk two plus',
  'for the rest of the day keep your leg still',
  'yes please the left patellar is three plus',
  'my mother had the same thing',
] as const;

/** What is said, through both ears, to somebody who must be called by this word. */
async function hear(
  said: readonly string[],
  voice: 'slt' | 'rms' | 'kal16' | 'awb',
  word: string,
): Promise<Session> {
  const session = createSession({
    language,
    now: () => ms(0),
    say: () => {},
    hush: () => {},
    keep: () => {},
    help: () => {},
    changed: () => {},
  });
  session.attend(word);
  const ear = createEar({
    ...model,
    language,
    context: () => session.context,
    partial: () => {},
    utterance: (heard) => session.hear(heard),
    failed: (why) => {
      throw why;
    },
  });
  const sounds: Sound[] = [silence(1000)];
  for (const words of said) sounds.push(await spoken(words, voice), silence(1000));
  for (const piece of pieces(joined(sounds), 100)) {
    ear.push(piece);
    // The next utterance is heard as this one left the dialogue.
    await ear.settled();
  }
  await ear.flush();
  return session;
}

const recorded = ({ state }: Session): readonly string[] =>
  standingFindings(state.record)
    .map((finding) => findingName(finding))
    .sort();

describe.each(calls)('called by “$words”', ({ id, words }) => {
  // A Scottish voice's "plessor" is heard as "lesser", which is passed over (grammars/README.md).
  const voices = (['slt', 'rms', 'kal16', 'awb'] as const).filter(
    (voice) => voice !== 'awb' || id !== 'plessor',
  );
  test.each(voices)('%s: the same exam talk records with the word', async (voice) => {
    const session = await hear(
      exam.map((said) => `${words}, ${said}`),
      voice,
      id,
    );
    expect(recorded(session)).toEqual(found);
    expect(session.utterances.filter(({ outcome }) => outcome === 'ask')).toEqual([]);
  });
  test.each(['slt', 'rms', 'kal16', 'awb'] as const)(
    '%s: and nothing without it',
    async (voice) => {
      const session = await hear([...exam, ...talk, 'exam complete', 'undo'], voice, id);
      expect(session.state.record.events).toEqual([]);
      expect(session.state.asked).toEqual([]);
      expect(session.utterances.length).toBeGreaterThan(exam.length);
    },
  );
  test('nor with the words that others chose', async () => {
    for (const other of calls.filter((one) => one.id !== id)) {
      const session = await hear(
        exam.map((said) => `${other.words}, ${said}`),
        'slt',
        id,
      );
      expect(session.state.record.events).toEqual([]);
      expect(session.state.asked).toEqual([]);
    }
  });
});
