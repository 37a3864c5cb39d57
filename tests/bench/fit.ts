import type { Script } from '../../demo-audio-scripts/index.ts';
import commonTest from '../../grammars/en/hearing-test.list?raw';
import type { LoadedModel } from '../../src/app/models/recogniser.ts';
import { pieces } from '../../src/cli/demo.ts';
import { hearExam } from '../../src/cli/hearing.ts';
import { renderedExam } from '../../src/cli/rendering.ts';
import type { Fit, Recogniser } from '../../src/ports.ts';
import { type FliteVoice, fliteVoices } from '../../src/voice/index.ts';
import type { Condition } from './condition.ts';
import { kept, type Reader } from './rendered.ts';

/** Findings from which the program learns. */
const taught = 20;

/**
 * A hearer that learnt from the first findings of an exam that it recorded unasked, with what it
 * learnt; without that where the guard refused it. The voice itself is no part of the common test.
 */
export async function fittedTo(
  hearer: LoadedModel,
  script: Script,
  voice: Reader,
  condition: Condition,
): Promise<{ readonly hearer: LoadedModel; readonly fit: Fit | undefined }> {
  const { recogniser } = hearer;
  const { fitting } = recogniser;
  if (fitting === undefined) throw new RangeError('this recogniser does not learn');
  const { sound } = await kept(script, voice);
  const held: Promise<number | undefined>[] = [];
  let findings = 0;
  await hearExam(pieces(await condition(sound, 0)), {
    ...hearer,
    heard: (utterance) => {
      if (utterance.outcome !== 'recorded' || findings >= taught) return;
      findings += utterance.findings.length;
      held.push(fitting.hold(utterance.heard.split(' ')));
    },
  });
  for (const number of await Promise.all(held)) {
    if (number !== undefined) await fitting.settle(number, true);
  }
  const others = fliteVoices.filter((one) => one !== voice && one !== 'kal');
  for (const [turn, words] of commonTest.trim().split('\n').entries()) {
    const one = others[turn % others.length] ?? 'slt';
    await fitting.test(await sentence(words, one), words.split(' '));
  }
  let learning = await fitting.learn();
  while (learning.is === 'learning') learning = await fitting.learn();
  const fit = learning.is === 'learnt' ? learning.fit : undefined;
  return { hearer: { ...hearer, recogniser: hearing(recogniser, fit) }, fit };
}

async function sentence(words: string, voice: FliteVoice): Promise<Float32Array> {
  const said = { is: 'said', by: 'examiner', words, findings: [], command: undefined, line: 0 };
  const script = { name: words, title: '', note: '', lines: [said], sites: [] } as const;
  return (await renderedExam(script as unknown as Script, voice)).sound;
}

/** The same recogniser, which takes up a fit whenever it has forgotten another examiner. */
const hearing = (recogniser: Recogniser, fit: Fit | undefined): Recogniser => ({
  id: recogniser.id,
  listenFor: (network) => recogniser.listenFor(network),
  start: () => recogniser.start(),
  feed: (sound) => recogniser.feed(sound),
  finish: () => recogniser.finish(),
  reconsider: (networks) => recogniser.reconsider(networks),
  abort: () => recogniser.abort(),
  forget: async () => {
    await recogniser.forget();
    await recogniser.fitting?.use(fit);
  },
  close: () => recogniser.close(),
});
