import type { Dialogue } from '../dialogue/index.ts';
import type { Engine, Source } from './room.ts';
import type { KeyState } from './talkKey.ts';

/** What the program is doing, as one word on the screen. */
export type Standing =
  | 'off'
  | 'loading'
  | 'asking'
  | 'listening'
  /** The microphone is open, and the examiner's key is up. */
  | 'key-up'
  | 'playing'
  | 'speaking'
  | 'standing-by'
  | 'deaf'
  | 'lost';

/** The one thing the examiner must know of the program at a glance. */
export function standingOf(now: {
  readonly source: Source;
  readonly engine: Engine;
  readonly deaf: boolean;
  readonly speaking: boolean;
  readonly mode: Dialogue['mode'];
  readonly key: KeyState;
}): Standing {
  const { source, engine, deaf, speaking, mode, key } = now;
  if (speaking) return 'speaking';
  if (source.is === 'lost') return 'lost';
  if (source.is === 'asking') return 'asking';
  if (engine.is === 'loading') return 'loading';
  if (engine.is === 'missing') return 'lost';
  if (source.is === 'none') return 'off';
  if (mode === 'paused') return 'standing-by';
  if (source.is === 'recording') return 'playing';
  if (deaf) return 'deaf';
  return key === 'up' ? 'key-up' : 'listening';
}
