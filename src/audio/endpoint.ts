import { joined, type Sound, soundRate } from '../ports.ts';

/** When an utterance begins and ends, in the terms of someone speaking in a room. */
export interface EndpointOptions {
  /** Loudness over the room's that begins an utterance, in dB. */
  readonly onsetDb: number;
  /** Loudness over the room's under which it may end, in dB. */
  readonly offsetDb: number;
  /** How long it must stay loud to begin. */
  readonly onsetMs: number;
  /** How long it must stay quiet to end. */
  readonly hangMs: number;
  /** What is quiet for longer is given only if speech goes on after it. */
  readonly tailMs: number;
  /** Sound kept from before the onset, so that a soft first consonant is not lost. */
  readonly preMs: number;
  /** After sound that was passed over, the room must be so long quiet before anything may begin. */
  readonly lullMs: number;
  /** It must have been loud for so long before that lull to have been speech that went unheard. */
  readonly missedMs: number;
  /** An utterance is ended at the next lull from `longMs` on, and at `longestMs` in any case. */
  readonly longMs: number;
  readonly longestMs: number;
  /** Shut off after less quiet than this, an utterance was cut. */
  readonly wholeMs: number;
}

export const usualEndpoints: EndpointOptions = {
  onsetDb: 7.5,
  offsetDb: 6,
  onsetMs: 50,
  hangMs: 800,
  tailMs: 300,
  preMs: 350,
  lullMs: 250,
  missedMs: 300,
  longMs: 15_000,
  longestMs: 20_000,
  wholeMs: 60,
};

export const frameMs = 10;
export const frameSamples = (soundRate * frameMs) / 1000;

export type EndpointerEvent =
  /** Speech began; `at` is the first sample that belongs to it, counted from the very first. */
  | { readonly type: 'start'; readonly at: number }
  | { readonly type: 'sound'; readonly sound: Sound }
  /** `cut` where it was ended while still loud: its last word may be half a word. */
  | { readonly type: 'end'; readonly at: number; readonly cut: boolean }
  /** Somebody was speaking where sound was passed over, and went on after it, unheard. */
  | { readonly type: 'missed'; readonly at: number };

/** Where the machine stands between two frames. */
export interface EndpointState {
  readonly speaking: boolean;
  /** Something may have begun unheard: its rest must not be taken for an utterance. */
  readonly waiting: boolean;
  /** Loudness of the last tenth of a second, dB. */
  readonly level: number;
  /** Loudness of the room, dB: its middle, and how far it strays from that on the average. */
  readonly floor: number;
  readonly stray: number;
  /** The loudest of the utterance, dB, forgotten slowly. */
  readonly peak: number;
  /** Frames that were loud (before) or quiet (within an utterance); one of the other kind takes some back. */
  readonly run: number;
  /** Frames since the utterance began; while waiting, those that were loud. */
  readonly age: number;
}

/** Before the first frame the room is unknown: it is taken to be as loud as that frame. */
export const quiet: EndpointState = {
  speaking: false,
  waiting: false,
  level: Number.NEGATIVE_INFINITY,
  floor: Number.POSITIVE_INFINITY,
  stray: 0,
  peak: Number.NEGATIVE_INFINITY,
  run: 0,
  age: 0,
};

/**
 * How far high notes are lifted. Lifted in full, the loudest of an utterance is its hisses, and its
 * vowels are no louder than talk in the background.
 */
const lift = 0.5;
/** Share of a new frame in the level; of the level in the room's, as long as it may be the room. */
const levelShare = 0.3;
const roomShare = 0.01;
/** Within an utterance what is quiet enough to be no more of it says less: it may be its soft end. */
const pauseShare = 0.001;
/** A room that is quieter than it ever strays has become a quieter room, or its talkers take a breath. */
const fallShare = 0.05;
/** What is too loud for the room may still be a louder room: dB a frame. */
const rise = 0.03;
/** A room is taken for no quieter than this, so that a step from digital silence is no speech. */
const leastFloor = -65;
/** How often its usual stray a room goes beyond its middle before that must be speech, and is quiet again. */
const onsetStrays = 3;
const offsetStrays = 2.5;
const mostStray = 2.5;
/**
 * Between the room and the loudest of an utterance: what is under this is no more of it. In a quiet room
 * that would be loud enough to be the soft end of a word, so it is never far above the room.
 */
const betweenShare = 0.6;
const mostBetween = 19;
const peakFades = 0.005;
/** A frame of the other kind takes so many from a run: a word takes more from quiet than a click from loudness. */
const onsetRelapse = 3;
const relapse = 5;

function roomAfter(
  { floor, stray, speaking }: EndpointState,
  level: number,
  loud: boolean,
): { readonly floor: number; readonly stray: number } {
  const at = (other: number): number => Math.max(leastFloor, other);
  if (!Number.isFinite(floor)) return { floor: at(level), stray };
  const off = level - floor;
  if (off < -Math.max(6, onsetStrays * stray)) return { floor: at(floor + fallShare * off), stray };
  if (loud) return { floor: floor + (off > 0 ? rise : 0), stray };
  if (speaking) return { floor: at(floor + pauseShare * off), stray };
  return {
    floor: at(floor + roomShare * off),
    stray: Math.min(mostStray, stray + roomShare * (Math.abs(off) - stray)),
  };
}

/**
 * One frame further: a pure machine over levels in dB.
 * @returns the next state, and whether an utterance began, ended or went unheard with this frame
 */
export function advance(
  state: EndpointState,
  now: number,
  options: EndpointOptions,
): { readonly state: EndpointState; readonly turn: 'start' | 'end' | 'missed' | undefined } {
  const level = smoothed(state.level, now, levelShare);
  const known = Number.isFinite(state.floor) ? state.floor : level;
  const over = level - known;
  const onset = Math.max(options.onsetDb, onsetStrays * state.stray);
  const offset = Math.max(options.offsetDb, offsetStrays * state.stray);
  const between = Math.min(mostBetween, betweenShare * (state.peak - known));
  const end = Math.max(offset, between);
  const { floor, stray } = roomAfter(state, level, over >= (state.speaking ? end : onset));
  const room = { ...quiet, level, floor, stray };
  const counted = (so: boolean, taken: number): number =>
    so ? state.run + 1 : Math.max(0, state.run - taken);
  if (state.waiting) {
    const run = over < offset ? state.run + 1 : 0;
    const age = over >= onset ? state.age + 1 : state.age;
    if (run * frameMs < options.lullMs) {
      return { state: { ...room, waiting: true, run, age }, turn: undefined };
    }
    return { state: room, turn: age * frameMs >= options.missedMs ? 'missed' : undefined };
  }
  if (!state.speaking) {
    const run = counted(over >= onset, onsetRelapse);
    const begins = run * frameMs >= options.onsetMs;
    return begins
      ? { state: { ...room, speaking: true, peak: level, age: run }, turn: 'start' }
      : { state: { ...room, run }, turn: undefined };
  }
  const age = state.age + 1;
  const peak = Math.max(level, state.peak - peakFades);
  const run = counted(over < end, relapse);
  const lull = age * frameMs >= options.longMs && run > 2;
  const ends = run * frameMs >= options.hangMs || lull || age * frameMs >= options.longestMs;
  return ends
    ? { state: room, turn: 'end' }
    : { state: { ...room, speaking: true, peak, run, age }, turn: undefined };
}

/** The level after a frame, in dB; before the first it is not finite. */
export const smoothed = (level: number, now: number, share: number): number =>
  Number.isFinite(level) ? level + share * (now - level) : now;

export interface Endpointer {
  push(sound: Sound): readonly EndpointerEvent[];
  /** Ends what is in progress. */
  flush(): readonly EndpointerEvent[];
  /**
   * Passes over sound that must not be heard, and forgets what is in progress; nothing begins again
   * before a lull, since half a sentence says something else than the whole.
   */
  skip(samples: number): void;
  /**
   * Shut, it follows the room and gives nothing; what is in progress ends at once. Opened while
   * somebody speaks, it begins with what comes after the next lull.
   */
  gate(open: boolean): readonly EndpointerEvent[];
}

/** Cuts a stream of sound into utterances. Every sample of speech is given once, in order. */
export function createEndpointer(options: EndpointOptions = usualEndpoints): Endpointer {
  const kept = Math.ceil((options.preMs + options.onsetMs) / frameMs);
  let state = quiet;
  let before: Sound[] = [];
  /** Quiet that may be the end. */
  let held: Sound[] = [];
  let rest: Sound = new Float32Array(0);
  let at = 0;
  let last = 0;
  let shut = false;

  const take = (frame: Sound, events: EndpointerEvent[]): void => {
    const level = levelOf(frame, last, lift);
    last = frame.at(-1) ?? 0;
    const { state: next, turn } = advance(state, level, options);
    at += frame.length;
    if (shut) {
      // Nothing from before it is opened belongs to an utterance.
      state = next;
      return;
    }
    if (turn === 'start') {
      before.push(frame);
      const sound = joined(before);
      before = [];
      events.push({ type: 'start', at: at - sound.length }, { type: 'sound', sound });
    } else if (state.speaking) {
      held.push(frame);
      if (turn === 'end') {
        end(events, false);
      } else if (next.run * frameMs <= options.tailMs) {
        for (const sound of held) events.push({ type: 'sound', sound });
        held = [];
      }
    } else if (!state.waiting) {
      before.push(frame);
      if (before.length > kept) before.shift();
    } else if (turn === 'missed') {
      events.push({ type: 'missed', at });
    }
    state = next;
  };

  /** Where the sound given so far ends; what was held belongs to nobody yet. */
  const end = (events: EndpointerEvent[], cut: boolean): void => {
    events.push({ type: 'end', at: at - frameSamples * held.length, cut });
    before = held.slice(-kept);
    held = [];
  };

  return {
    push(sound) {
      const events: EndpointerEvent[] = [];
      const all = rest.length === 0 ? sound : joined([rest, sound]);
      let i = 0;
      for (; i + frameSamples <= all.length; i += frameSamples) {
        take(all.slice(i, i + frameSamples), events);
      }
      rest = all.slice(i);
      return merged(events);
    },
    flush() {
      const events: EndpointerEvent[] = [];
      if (state.speaking && !shut) end(events, false);
      at += rest.length;
      rest = new Float32Array(0);
      before = [];
      state = { ...state, speaking: false, run: 0, age: 0 };
      return events;
    },
    skip(samples) {
      at += rest.length + samples;
      rest = new Float32Array(0);
      before = [];
      held = [];
      state = { ...state, speaking: false, waiting: true, run: 0, age: 0 };
    },
    gate(open) {
      const events: EndpointerEvent[] = [];
      if (open !== shut) return events;
      shut = !open;
      if (shut && state.speaking) {
        end(events, state.run * frameMs < options.wholeMs);
        state = { ...state, speaking: false, run: 0, age: 0 };
      } else if (open) {
        // Whoever speaks now is heard from the next lull on, and what came before was not missed.
        const waiting = state.waiting || (state.speaking && state.run * frameMs < options.lullMs);
        const run = waiting || !state.speaking ? state.run : 0;
        state = { ...state, speaking: false, waiting, run, age: 0 };
      }
      before = [];
      return events;
    },
  };
}

/**
 * Loudness of a frame in dB of full scale, high notes lifted so that consonants count.
 *
 * @param before the sample before the frame
 * @param lift 0 for none, 1 for all of 6 dB an octave
 */
export function levelOf(frame: Sound, before: number, lift: number): number {
  let sum = 0;
  let previous = before;
  for (const sample of frame) {
    const lifted = sample - lift * previous;
    sum += lifted * lifted;
    previous = sample;
  }
  return 10 * Math.log10(sum / frame.length + 1e-10);
}

/** Levels of the frames of an utterance, which comes in pieces of whole frames; vowels and consonants alike. */
export function createLevels() {
  const lift = 0.5;
  let last = 0;
  return {
    begin(): void {
      last = 0;
    },
    of(sound: Sound): readonly number[] {
      return Array.from({ length: Math.floor(sound.length / frameSamples) }, (_, i) => {
        const frame = sound.subarray(i * frameSamples, (i + 1) * frameSamples);
        const level = levelOf(frame, last, lift);
        last = frame.at(-1) ?? 0;
        return level;
      });
    },
  };
}

/** Sound events that follow one another become one. */
function merged(events: readonly EndpointerEvent[]): readonly EndpointerEvent[] {
  const out: EndpointerEvent[] = [];
  let run: Sound[] = [];
  const close = (): void => {
    if (run.length > 0) out.push({ type: 'sound', sound: joined(run) });
    run = [];
  };
  for (const event of events) {
    if (event.type === 'sound') run.push(event.sound);
    else {
      close();
      out.push(event);
    }
  }
  close();
  return out;
}
