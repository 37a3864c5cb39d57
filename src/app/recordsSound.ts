import { writeWav } from '../audio/wav.ts';
import type { EntryId } from '../exam/index.ts';
import type { Sound } from '../ports.ts';
import type { Clip } from '../report/index.ts';
import type { Bytes } from '../store/index.ts';

/** How the sounds beside an exam are called. */
export const soundPrefix = 'sound-';
const encode = (text: string): Bytes => new TextEncoder().encode(text);

/** The sound of one utterance as it is kept beside its exam. Names sort by time. */
export function clipOf(
  sound: Sound,
  entries: readonly EntryId[],
  words: string,
  readBack: string,
): { readonly name: string; readonly content: Bytes } {
  const wav = base64(writeWav(sound));
  const clip: Clip = { kind: 'clip', entries, words, readBack, wav };
  const order = String(Date.now()).padStart(15, '0');
  return {
    name: `${soundPrefix}${order}-${crypto.randomUUID().slice(0, 8)}`,
    content: encode(JSON.stringify(clip)),
  };
}

function base64(bytes: Uint8Array): string {
  let text = '';
  // In pieces: an argument list has a limit.
  for (let at = 0; at < bytes.length; at += 8192) {
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  }
  return btoa(text);
}
