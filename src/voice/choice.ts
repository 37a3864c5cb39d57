import { PortError, type Voice } from '../ports.ts';

/**
 * One voice made of several in order of preference. Where one fails, the same text is said by the
 * next, and the failed one is not asked again. The last, being silent, cannot fail.
 *
 * @param voices the most wanted first: a local system voice, the embedded one, the silent one
 * @param failed told of each voice given up, and why
 */
export function firstThatSpeaks(
  voices: readonly [Voice, ...Voice[]],
  failed: (voice: Voice, why: unknown) => void = () => undefined,
): Voice {
  let [current, ...rest] = voices;
  return {
    get id() {
      return current.id;
    },
    async speak(text, signal) {
      for (;;) {
        try {
          return await current.speak(text, signal);
        } catch (why) {
          if (signal?.aborted || (why instanceof PortError && why.code === 'aborted')) return;
          const [next, ...others] = rest;
          if (next === undefined) throw why;
          failed(current, why);
          current = next;
          rest = others;
        }
      }
    },
  };
}
