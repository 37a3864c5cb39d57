import { PortError } from '../../ports.ts';
import { voiceMessages } from '../messages.ts';
import { pronunciations } from './pronunciations.ts';
import { runProgram } from './wasi.ts';

/** The voices inside the synthesiser: a small one at 8 kHz, its 16 kHz sister, three fuller ones. */
export const fliteVoices = ['kal', 'kal16', 'slt', 'rms', 'awb'] as const;
export type FliteVoice = (typeof fliteVoices)[number];

/** How a text is to be spoken. */
export interface Manner {
  readonly voice: FliteVoice;
  /** Duration against the voice's plain reading: 1.2 is a fifth slower. Absent: the voice's own. */
  readonly stretch?: number;
  /** Pitch as a multiple of the voice's own. `rms` has a fixed pitch and does not take it. */
  readonly pitch?: number;
}

/** Mono sound, -1 to 1, at the voice's own rate: 8000 a second for `kal`, 16000 for the others. */
export interface Speech {
  readonly samples: Float32Array<ArrayBuffer>;
  readonly sampleRate: number;
}

/** The embedded synthesiser: text in, sound out; the same text and manner give the same sound. */
export interface Flite {
  /**
   * Empty text gives no samples.
   * @throws PortError `unsupported` for a manner it cannot speak in, `corrupt` when it fails,
   *   `aborted` when the signal came first
   */
  render(text: string, manner: Manner, signal?: AbortSignal): Promise<Speech>;
}

/** Beyond these the voices break up. */
const least = 0.4;
const most = 3;

/**
 * The synthesiser from its program file, which is loaded and compiled on the first rendering and
 * once only. A failed loading is tried again at the next rendering.
 *
 * @param load the bytes of `flite.wasm`
 * @param lexicon words it would mispronounce; an empty list leaves it to its own rules
 */
export function createFlite(
  load: () => Promise<BufferSource>,
  lexicon: readonly (readonly [word: string, phones: string])[] = pronunciations,
): Flite {
  const addenda = new TextEncoder().encode(
    lexicon.map(([word, phones]) => `${word} nil : ${phones}\n`).join(''),
  );
  let program: Promise<WebAssembly.Module> | undefined;
  const loaded = (): Promise<WebAssembly.Module> => {
    program ??= load()
      .then((bytes) => WebAssembly.compile(bytes))
      .catch((cause: unknown) => {
        program = undefined;
        if (cause instanceof PortError) throw cause;
        throw new PortError('corrupt', voiceMessages.unreadable, { cause });
      });
    return program;
  };

  return {
    async render(text, { voice, stretch, pitch }, signal) {
      if (!fliteVoices.includes(voice)) {
        throw new PortError('unsupported', voiceMessages.unknown(voice, fliteVoices.join(', ')));
      }
      const features = [
        ...feature('stretch', 'duration_stretch', stretch),
        ...feature('pitch', 'f0_shift', pitch),
      ];
      const said = speakable(text);
      if (said === '') return { samples: new Float32Array(0), sampleRate: rateOf(voice) };
      const module = await loaded();
      if (signal?.aborted) throw new PortError('aborted', voiceMessages.stopped);
      const words = addenda.length === 0 ? [] : ['-add_lex', 'lex'];
      const { status, files, printed } = runProgram(
        module,
        ['flite', ...words, '-voice', voice, ...features, '-t', said, '-o', 'out'],
        new Map([['lex', addenda]]),
      );
      const sound = files.get('out');
      if (status !== 0 || sound === undefined) {
        throw new PortError('corrupt', voiceMessages.noSound(voice, printed));
      }
      return decoded(sound);
    },
  };
}

const rateOf = (voice: FliteVoice): number => (voice === 'kal' ? 8000 : 16_000);

function feature(
  what: 'stretch' | 'pitch',
  name: string,
  value: number | undefined,
): readonly string[] {
  if (value === undefined) return [];
  if (value >= least && value <= most) return ['--setf', `${name}=${value}`];
  throw new PortError('unsupported', voiceMessages.outOfRange[what](value, least, most));
}

/** The synthesiser reads ASCII: accents are dropped, typographic marks become plain ones. */
const speakable = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[\u2018\u2019]/g, "'")
    .replace(/[\u2013\u2014\u2026]/g, ', ')
    .replace(/[^\x20-\x7e]+/g, (run) => (/\s/.test(run) ? ' ' : ''))
    .trim();

/** A RIFF file as the synthesiser writes it: 44 bytes of header, then 16-bit mono. */
function decoded(riff: Uint8Array<ArrayBuffer>): Speech {
  const header = 44;
  const view = new DataView(riff.buffer, riff.byteOffset, riff.byteLength);
  const count = Math.max(0, Math.floor((riff.byteLength - header) / 2));
  const samples = new Float32Array(count);
  for (let i = 0; i < count; i++) samples[i] = view.getInt16(header + 2 * i, true) / 0x8000;
  return { samples, sampleRate: view.getUint32(24, true) };
}
