import type { Voice } from '../ports.ts';

/** No sound: what would have been said is on the screen. Also for a silent room. */
export const silentVoice = (shown: (text: string) => void = () => undefined): Voice => ({
  id: 'silent',
  async speak(text) {
    shown(text);
  },
});
