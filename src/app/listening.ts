import { type ReadonlySignal, signal } from '@preact/signals';
import { createDoubleTalk } from '../audio/doubleTalk.ts';
import { type Microphone, PortError, type Sound, soundRate } from '../ports.ts';
import type { Engine, Source, Trouble } from '../ui/index.ts';
import { lineOf } from './fault.ts';
import { createLoudness } from './loudness.ts';
import { mark } from './mark.ts';

/** What hears words in sound (ear.ts). */
export interface Hearer {
  push(sound: Sound): void;
  /** Resolves when everything pushed has been heard. */
  flush(): Promise<void>;
  /** Resolves when what was pushed so far has been heard. */
  settled(): Promise<void>;
  mute(muted: boolean): void;
  /** Shut, nothing is heard and what was half said ends. */
  gate(open: boolean): void;
  /** Sound was lost. */
  gap(ms: number): void;
}

export interface ListeningParts {
  readonly microphone: Microphone;
  /** Loads the recogniser. @throws PortError with what is wrong and what to do */
  readonly ear: () => Promise<Hearer>;
  /** The sound of a chosen file, as it is read. @throws PortError */
  readonly read: (file: Blob) => AsyncIterable<Sound>;
  /** Takes a line about what went wrong, or an empty one. */
  readonly notice: (line: string) => void;
  readonly opened: () => void;
  readonly lost: () => void;
  /** Somebody speaks over the program's own voice. */
  readonly talkedOver?: () => void;
  /**
   * Calls `again` whenever a microphone that was lost may be back; gives what ends that. Where it is
   * left out, a lost microphone waits for the button.
   */
  readonly regain?: (again: () => void) => () => void;
}

export interface Listening {
  readonly source: ReadonlySignal<Source>;
  readonly engine: ReadonlySignal<Engine>;
  readonly level: ReadonlySignal<number>;
  readonly deaf: ReadonlySignal<boolean>;
  /** Loads the recogniser, so that it is ready when the microphone opens. */
  load(): Promise<void>;
  /** Loads the recogniser anew: another model hears. What is heard now ends. */
  renew(): Promise<void>;
  listen(): Promise<void>;
  close(): Promise<void>;
  hear(file: File): Promise<void>;
  /** Takes sound piece by piece from elsewhere until it ends or is closed. */
  follow(name: string, pieces: (signal: AbortSignal) => AsyncIterable<Sound>): Promise<void>;
  mute(muted: boolean): void;
  /** Whether the microphone's sound is let through; a recording's always is. */
  gate(open: boolean): void;
  /** The program speaks, or has stopped. */
  speaking(now: boolean): void;
}

/** Sound reaches the page so much after it was in the room, at most, ms: what was said before a key went up. */
const lateMs = 150;

/** The meter moves no more often than this, in ms; the eye sees no more. */
const meterMs = 80;

/** Where sound comes from, one source at a time, and whether it can be understood. */
export function createListening(parts: ListeningParts): Listening {
  const source = signal<Source>({ is: 'none' });
  const engine = signal<Engine>({ is: 'loading' });
  const level = signal(0);
  const deaf = signal(false);
  let ear: Hearer | undefined;
  let muted = false;
  let open = true;
  let closing: ReturnType<typeof setTimeout> | undefined;
  const letThrough = (): void => ear?.gate(open || source.peek().is === 'recording');
  const doubleTalk = createDoubleTalk();
  let loading: Promise<void> | undefined;
  let stop: (() => Promise<void>) | undefined;
  let loudness = createLoudness(soundRate);
  let metered = 0;
  /** Ends the watch for a lost microphone. */
  let giveUp: (() => void) | undefined;
  let trying: Promise<void> | undefined;

  function take(sound: Sound): void {
    const loud = loudness.take(sound);
    const now = performance.now();
    if (now - metered >= meterMs) {
      metered = now;
      level.value = loud;
      deaf.value = loudness.deaf;
    }
    ear?.push(sound);
    // With the key up, who speaks does not speak to the program.
    if (doubleTalk.take(sound) && open) parts.talkedOver?.();
  }

  function load(): Promise<void> {
    if (loading !== undefined) return loading;
    const mine: Promise<void> = parts.ear().then(
      (loaded) => {
        // Another model may have been chosen while this one was loading.
        if (loading !== mine) return;
        ear = loaded;
        loaded.mute(muted);
        letThrough();
        engine.value = { is: 'ready' };
      },
      (why: unknown) => {
        if (loading !== mine) return;
        // The next press of the button tries again.
        loading = undefined;
        engine.value = { is: 'missing', fault: lineOf(why) };
      },
    );
    loading = mine;
    return mine;
  }

  async function close(): Promise<void> {
    giveUp?.();
    giveUp = undefined;
    const stopping = stop;
    stop = undefined;
    await stopping?.().catch(() => undefined);
    level.value = 0;
    deaf.value = false;
    source.value = { is: 'none' };
  }

  function lose(why: Trouble): void {
    stop = undefined;
    level.value = 0;
    deaf.value = false;
    source.value = { is: 'lost', why };
    parts.lost();
  }

  async function openMicrophone(): Promise<void> {
    loudness = createLoudness(soundRate);
    const opened = await parts.microphone.listen({
      sound: take,
      gap: (ms) => {
        mark('gap', ms);
        ear?.gap(ms);
      },
      lost: (why) => {
        // What was half said is over; the rest of it is not to be heard as its end.
        void ear?.flush();
        lose(troubleOf(why));
        watch();
      },
    });
    stop = () => opened.stop();
    source.value = { is: 'microphone' };
    letThrough();
    parts.opened();
  }

  /** A microphone that worked and went is taken up again by itself: nobody has a hand free. */
  function watch(): void {
    giveUp ??= parts.regain?.(() => {
      if (trying !== undefined || source.peek().is !== 'lost') return;
      const watching = giveUp;
      trying = openMicrophone()
        .then(async () => {
          // Closed by the examiner meanwhile.
          if (giveUp !== watching) return close();
          giveUp?.();
          giveUp = undefined;
        })
        // Still away, or refused now: the state stays as it is, with what to do.
        .catch(() => undefined)
        .finally(() => {
          trying = undefined;
        });
    });
  }

  async function follow(
    name: string,
    pieces: (signal: AbortSignal) => AsyncIterable<Sound>,
  ): Promise<void> {
    await close();
    parts.notice('');
    await load();
    if (ear === undefined) return;
    const stopped = new AbortController();
    stop = async () => stopped.abort();
    source.value = { is: 'recording', name };
    letThrough();
    try {
      for await (const sound of pieces(stopped.signal)) {
        if (stopped.signal.aborted) break;
        take(sound);
        // A file comes faster than it is heard; waiting here bounds what is in memory.
        await ear.settled();
      }
      await ear.flush();
    } catch (why) {
      parts.notice(`${name}: ${lineOf(why)}`);
    }
    if (!stopped.signal.aborted) await close();
  }

  return {
    source,
    engine,
    level,
    deaf,
    load,
    async renew() {
      await close();
      ear = undefined;
      loading = undefined;
      engine.value = { is: 'loading' };
      await load();
    },
    close,
    follow,
    async listen() {
      await close();
      await trying;
      parts.notice('');
      source.value = { is: 'asking' };
      void load();
      try {
        await openMicrophone();
      } catch (why) {
        lose(troubleOf(why));
      }
    },
    hear: (file) => follow(file.name, () => parts.read(file)),
    speaking(now) {
      if (now) doubleTalk.begin();
      else doubleTalk.end();
    },
    mute(now) {
      muted = now;
      ear?.mute(now);
    },
    gate(now) {
      clearTimeout(closing);
      const take = (): void => {
        open = now;
        letThrough();
      };
      if (now) take();
      else closing = setTimeout(take, lateMs);
    },
  };
}

function troubleOf(why: unknown): Trouble {
  if (!(why instanceof PortError)) return 'failed';
  switch (why.code) {
    case 'denied':
    case 'no-device':
    case 'in-use':
    case 'unplugged':
    case 'unsupported':
      return why.code;
    case 'timed-out':
      return 'suspended';
    default:
      return 'failed';
  }
}
