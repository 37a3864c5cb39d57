import { PortError } from '../ports.ts';
import { appMessages } from './messages.ts';

/** What went wrong, as the one line that is shown. A `PortError` brings its own, out of a catalogue. */
export function lineOf(why: unknown): string {
  if (why instanceof PortError) return why.message;
  return appMessages.unforeseen(why instanceof Error ? why.message : String(why));
}
