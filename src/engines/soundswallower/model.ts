import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import { Memory, type Native } from './native.ts';

/** The files of an acoustic model folder that are read, by name. */
export const modelFiles = [
  'feat_params.json',
  'mdef',
  'transition_matrices',
  'means',
  'variances',
  'sendump',
  'noisedict.txt',
  'dict.txt',
] as const;
export type ModelFile = (typeof modelFiles)[number];

/**
 * Gives the bytes of a model file.
 * @throws PortError `not-found` when there is no such file
 */
export type LoadFile = (name: ModelFile) => Promise<Uint8Array>;

/** A decoder with the acoustic model in it, and the addresses that a new utterance needs. */
export interface Decoder {
  readonly memory: Memory;
  readonly decoder: number;
  /** The acoustic model's scorer. */
  readonly acmod: number;
  readonly frontEnd: number;
  /** The model's large dictionary as text; the engine itself holds only the words in use. */
  readonly dictionary: string;
}

const looksRight: Record<ModelFile, (bytes: Uint8Array) => boolean> = {
  'feat_params.json': (bytes) => bytes[0] === 0x7b,
  mdef: (bytes) => startsWith(bytes, 'BMDF') || startsWith(bytes, 'FDMB'),
  transition_matrices: (bytes) => startsWith(bytes, 's3'),
  means: (bytes) => startsWith(bytes, 's3'),
  variances: (bytes) => startsWith(bytes, 's3'),
  sendump: (bytes) => bytes.length > 1000 && !startsWith(bytes, '<'),
  'noisedict.txt': (bytes) => startsWith(bytes, '<s>'),
  'dict.txt': (bytes) => bytes.length > 1000 && !startsWith(bytes, '<'),
};

function startsWith(bytes: Uint8Array, text: string): boolean {
  return [...text].every((letter, index) => bytes[index] === letter.charCodeAt(0));
}

const corrupt = (name: string, cause?: unknown): PortError =>
  new PortError(
    'corrupt',
    engineMessages.model.damaged(name),
    cause === undefined ? undefined : { cause },
  );

/** The files of a model, read once for all decoders made of it. */
export interface Model {
  bytes(name: ModelFile): Uint8Array;
  /** The large dictionary. */
  readonly dictionary: string;
}

/** @throws PortError `not-found`, `corrupt` naming the file */
export async function readModel(loadFile: LoadFile): Promise<Model> {
  const loaded = await Promise.all(
    modelFiles.map(async (name) => {
      const bytes = await loadFile(name);
      if (!looksRight[name](bytes)) throw corrupt(name);
      return [name, bytes] as const;
    }),
  );
  const files = new Map<ModelFile, Uint8Array>(loaded);
  const bytes = (name: ModelFile): Uint8Array => {
    const found = files.get(name);
    if (found === undefined) throw corrupt(name);
    return found;
  };
  return { bytes, dictionary: new TextDecoder().decode(bytes('dict.txt')) };
}

/**
 * Makes a decoder of a model. The dictionary of the engine starts with the fillers alone; words are
 * added as grammars need them, which spares the memory and the seconds that 134,000 words cost.
 *
 * @param settings of the engine (`beam`, `lw` …), over those of the model
 * @throws PortError `corrupt` naming the file
 */
export function makeDecoder(
  native: Native,
  model: Model,
  settings: Readonly<Record<string, string | number | boolean>>,
): Decoder {
  const memory = new Memory(native);
  const must = (address: number, name: string): number => {
    if (address === 0) throw corrupt(name);
    return address;
  };
  /** Frees the file once read; what is made of it is a copy. */
  const read = (name: ModelFile, use: (file: number) => number): number => {
    const file = memory.file(model.bytes(name));
    try {
      return must(use(file), name);
    } catch (cause) {
      throw cause instanceof PortError ? cause : corrupt(name, cause);
    } finally {
      native._s3file_free(file);
    }
  };

  let features: unknown;
  try {
    features = JSON.parse(new TextDecoder().decode(model.bytes('feat_params.json')));
  } catch (cause) {
    throw corrupt('feat_params.json', cause);
  }
  const config = memory.withText(
    JSON.stringify({ ...(features as object), ...settings }),
    (address) => native._config_parse_json(0, address),
  );
  const decoder = must(
    native._decoder_create(must(config, 'feat_params.json')),
    engineMessages.model.configuration,
  );
  try {
    native._decoder_init_cleanup(decoder);
    const frontEnd = must(native._decoder_init_fe(decoder), 'feat_params.json');
    must(native._decoder_init_feat_s3file(decoder, 0), 'feat_params.json');
    const acmod = must(native._decoder_init_acmod_pre(decoder), 'feat_params.json');
    native._set_mdef(
      decoder,
      read('mdef', (file) => native._bin_mdef_read_s3file(file, 0)),
    );
    const logmath = native._decoder_logmath(decoder);
    native._set_tmat(
      decoder,
      read('transition_matrices', (file) => native._tmat_init_s3file(file, logmath, 0.0001)),
    );
    const [means, variances, sendump] = (['means', 'variances', 'sendump'] as const).map((name) =>
      memory.file(model.bytes(name)),
    );
    if (native._load_gmm(decoder, means ?? 0, variances ?? 0, 0, sendump ?? 0) < 0) {
      throw corrupt(engineMessages.model.mixtures);
    }
    // Copied by the reader; of `sendump` it keeps the bytes themselves.
    native._s3file_free(means ?? 0);
    native._s3file_free(variances ?? 0);
    if (native._decoder_init_acmod_post(decoder) < 0) throw corrupt('sendump');
    read('noisedict.txt', (file) => native._decoder_init_dict_s3file(decoder, 0, file));
    return { memory, decoder, acmod, frontEnd, dictionary: model.dictionary };
  } catch (cause) {
    throw cause instanceof PortError ? cause : corrupt(engineMessages.model.someFile, cause);
  }
}
