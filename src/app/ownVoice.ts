/**
 * A second guard behind the shut ear: what is heard while the program speaks, or just after, and is
 * word for word a piece of what it said, is its own voice, come back late through a loudspeaker far
 * away or past headphones that nobody wears. One word more, fewer or other is the examiner's.
 */
export interface OwnVoice {
  /** A text begins to be spoken; an empty one when all is said. */
  speaking(text: string): void;
  /** An utterance begins. */
  began(): void;
  /** Whether an utterance, which began as told last, is the program's own voice. */
  is(heard: readonly string[]): boolean;
}

/** So long after its last word the program's voice may still come back, ms. */
const lateMs = 1500;
/** Fewer words than these are left alone: "affirm" may well have been asked for by name. */
const leastWords = 3;

/**
 * @param words a text as the words a recogniser would hear
 * @param now a clock, ms
 */
export function createOwnVoice(
  words: (text: string) => readonly string[],
  now: () => number,
): OwnVoice {
  let said: readonly string[] = [];
  let spoken = false;
  let endedAt = Number.NEGATIVE_INFINITY;
  let within = false;
  return {
    speaking(text) {
      if (text === '') {
        spoken = false;
        endedAt = now();
        return;
      }
      const late = !spoken && now() - endedAt > lateMs;
      said = late ? words(text) : [...said, ...words(text)];
      spoken = true;
    },
    began() {
      within = spoken || now() - endedAt <= lateMs;
    },
    is(heard) {
      if (!within || heard.length < leastWords) return false;
      return said.some((_, at) => heard.every((word, i) => said[at + i] === word));
    },
  };
}
