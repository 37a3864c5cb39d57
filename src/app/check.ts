import { type ReadonlySignal, signal } from '@preact/signals';
import { type DialogueMessages, dialogueMessages, readBackText } from '../dialogue/index.ts';
import { interpret, type Language, uncalled } from '../interpret/index.ts';
import { type Checked, roomMessages } from '../ui/index.ts';
import type { HeardWords } from './session.ts';

/** A trial of the microphone: what is heard is shown and said, and nothing of it is recorded. */
export interface Check {
  /** The latest utterance of the trial; nothing before the first. */
  readonly heard: ReadonlySignal<Checked | undefined>;
  begin(): void;
  /** Takes an utterance; tells whether it ends the trial. */
  hear(heard: HeardWords): 'goes on' | 'over';
}

export function createCheck(parts: {
  readonly language: Language;
  readonly messages?: DialogueMessages;
  readonly say: (text: string) => void;
}): Check {
  const { messages = dialogueMessages.en } = parts;
  const heard = signal<Checked | undefined>(undefined);
  return {
    heard,
    begin() {
      heard.value = undefined;
    },
    hear({ words, certainty }) {
      const meaning =
        certainty === 'foreign'
          ? { is: 'nothing' as const }
          : interpret(parts.language, uncalled(parts.language, words));
      const ends = meaning.is === 'command' && meaning.command === 'go-on';
      if (ends && certainty === 'sure') return 'over';
      const findings = meaning.is === 'findings' ? meaning.findings : [];
      heard.value = { heard: words.join(' '), findings, sure: certainty === 'sure' };
      // What was not understood is only shown: talk in the room needs no answer.
      if (findings.length > 0) parts.say(roomMessages.check.said(readBackText(findings, messages)));
      return 'goes on';
    },
  };
}
