import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';

/**
 * The functions of the compiled engine that are used here. Its own JavaScript wrapper offers only
 * a part of them, reads its model by URL alone and builds grammars from text; this program brings
 * the bytes itself and builds the search graph arc by arc. They are internal exports, so `checked`
 * makes sure that each is there.
 */
export interface Native {
  readonly HEAP8: Int8Array;
  readonly HEAPU8: Uint8Array;
  readonly HEAP32: Int32Array;
  readonly HEAPF32: Float32Array;
  _malloc(bytes: number): number;
  _free(address: number): void;
  _config_parse_json(config: number, json: number): number;
  _config_set_str(config: number, key: number, value: number): number;
  _decoder_create(config: number): number;
  _decoder_free(decoder: number): number;
  _decoder_config(decoder: number): number;
  _decoder_logmath(decoder: number): number;
  _decoder_init_cleanup(decoder: number): number;
  _decoder_init_fe(decoder: number): number;
  _decoder_init_feat_s3file(decoder: number, transform: number): number;
  _decoder_init_acmod_pre(decoder: number): number;
  _decoder_init_acmod_post(decoder: number): number;
  _decoder_init_dict_s3file(decoder: number, words: number, fillers: number): number;
  _acmod_reinit_feat(acmod: number, fe: number, feat: number): number;
  _s3file_init(address: number, bytes: number): number;
  _s3file_free(file: number): number;
  _bin_mdef_read_s3file(file: number, contextIndependentOnly: number): number;
  _set_mdef(decoder: number, mdef: number): void;
  _tmat_init_s3file(file: number, logmath: number, floor: number): number;
  _set_tmat(decoder: number, tmat: number): void;
  _load_gmm(decoder: number, means: number, vars: number, mixw: number, sendump: number): number;
  _decoder_add_word(decoder: number, word: number, phones: number, update: number): number;
  _fsg_model_init(name: number, logmath: number, weight: number, states: number): number;
  _fsg_model_free(fsg: number): number;
  _fsg_model_word_add(fsg: number, word: number): number;
  _fsg_model_trans_add(fsg: number, from: number, to: number, logp: number, word: number): void;
  _fsg_model_null_trans_add(fsg: number, from: number, to: number, logp: number): number;
  _fsg_set_states(fsg: number, start: number, final: number): void;
  _decoder_set_fsg(decoder: number, fsg: number): number;
  _decoder_start_utt(decoder: number): number;
  _decoder_process_float32(
    decoder: number,
    samples: number,
    count: number,
    noSearch: number,
    whole: number,
  ): number;
  _decoder_end_utt(decoder: number): number;
  _decoder_hyp(decoder: number, score: number): number;
  _decoder_seg_iter(decoder: number): number;
  _seg_iter_next(segment: number): number;
  _seg_iter_word(segment: number): number;
  _seg_iter_frames(segment: number, start: number, end: number): void;
}

const needed = [
  '_malloc',
  '_free',
  '_config_parse_json',
  '_config_set_str',
  '_decoder_create',
  '_decoder_free',
  '_decoder_config',
  '_decoder_logmath',
  '_decoder_init_cleanup',
  '_decoder_init_fe',
  '_decoder_init_feat_s3file',
  '_decoder_init_acmod_pre',
  '_decoder_init_acmod_post',
  '_decoder_init_dict_s3file',
  '_acmod_reinit_feat',
  '_s3file_init',
  '_s3file_free',
  '_bin_mdef_read_s3file',
  '_set_mdef',
  '_tmat_init_s3file',
  '_set_tmat',
  '_load_gmm',
  '_decoder_add_word',
  '_fsg_model_init',
  '_fsg_model_free',
  '_fsg_model_word_add',
  '_fsg_model_trans_add',
  '_fsg_model_null_trans_add',
  '_fsg_set_states',
  '_decoder_set_fsg',
  '_decoder_start_utt',
  '_decoder_process_float32',
  '_decoder_end_utt',
  '_decoder_hyp',
  '_decoder_seg_iter',
  '_seg_iter_next',
  '_seg_iter_word',
  '_seg_iter_frames',
] as const satisfies readonly (keyof Native)[];

/** @throws PortError `unsupported` naming the functions that this build of the engine lacks */
export function checked(module: object): Native {
  const lacking = needed.filter((name) => typeof Reflect.get(module, name) !== 'function');
  if (lacking.length > 0) {
    throw new PortError('unsupported', engineMessages.model.lacks(lacking.join(', ')));
  }
  return module as Native;
}

/** The engine's memory as text and numbers. */
export class Memory {
  readonly native: Native;
  constructor(native: Native) {
    this.native = native;
  }

  /** Runs `use` with the text as a C string and frees it. */
  withText<T>(text: string, use: (address: number) => T): T {
    const bytes = new TextEncoder().encode(text);
    const address = this.native._malloc(bytes.length + 1);
    this.native.HEAPU8.set(bytes, address);
    this.native.HEAPU8[address + bytes.length] = 0;
    try {
      return use(address);
    } finally {
      this.native._free(address);
    }
  }

  text(address: number): string {
    if (address === 0) return '';
    const heap = this.native.HEAPU8;
    return new TextDecoder().decode(heap.slice(address, heap.indexOf(0, address)));
  }

  int(address: number): number {
    return this.native.HEAP32[address >> 2] ?? 0;
  }

  /** A file in memory, as the engine's readers take one; `_s3file_free` frees all of it. */
  file(bytes: Uint8Array): number {
    // The engine reads a terminating zero behind text files.
    const address = this.native._malloc(bytes.length + 1);
    this.native.HEAPU8.set(bytes, address);
    this.native.HEAPU8[address + bytes.length] = 0;
    return this.native._s3file_init(address, bytes.length);
  }
}
