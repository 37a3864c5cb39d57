/**
 * A Whisper made for the tests: its networks are a few bytes, so that a browser can take it through
 * the very code that loads a real one. It hears nothing: each word piece leads to the next.
 */

// Protocol buffers (their published encoding): a field is its number and kind, then its value.
const varint = (value: number): number[] =>
  value < 128 ? [value] : [(value & 127) | 128, ...varint(Math.floor(value / 128))];
const number = (field: number, value: number): Buffer =>
  Buffer.from([...varint(field * 8), ...varint(value)]);
const bytes = (field: number, ...values: readonly (Buffer | string)[]): Buffer =>
  Buffer.concat(
    values.map((value) => {
      const content = Buffer.from(value);
      return Buffer.concat([
        Buffer.from([...varint(field * 8 + 2), ...varint(content.length)]),
        content,
      ]);
    }),
  );
const message = (...fields: readonly Buffer[]): Buffer => Buffer.concat(fields);

// ONNX (onnx.proto3 of the ONNX project): the numbers of the fields used here.
const float = 1;
const int64 = 7;
type Shape = readonly (number | string)[];
const value = (field: number, name: string, kind: number, shape: Shape): Buffer => {
  const dims = shape.map((dim) =>
    bytes(1, typeof dim === 'number' ? number(1, dim) : bytes(2, dim)),
  );
  const tensor = message(number(1, kind), bytes(2, message(...dims)));
  return bytes(field, message(bytes(1, name), bytes(2, bytes(1, tensor))));
};
const input = (name: string, kind: number, shape: Shape): Buffer => value(11, name, kind, shape);
const output = (name: string, kind: number, shape: Shape): Buffer => value(12, name, kind, shape);
const node = (operator: string, inputs: readonly string[], result: string): Buffer =>
  bytes(1, message(bytes(1, ...inputs), bytes(2, result), bytes(4, operator)));
const network = (...parts: readonly Buffer[]): Buffer =>
  message(
    number(1, 8),
    bytes(8, number(2, 13)),
    bytes(7, message(...parts, bytes(2, 'made-for-a-test'))),
  );

const pieces = [
  'Ġright',
  'Ġankle',
  'Ġabsent',
  '<|endoftext|>',
  '<|startoftranscript|>',
  '<|notimestamps|>',
];
const [, , , end, start, untimed] = [...pieces.keys()];
/** Which piece follows which. */
const next: Readonly<Record<number, number>> = { 4: 5, 5: 0, 0: 1, 1: 2, 2: 3, 3: 3 };

const size = pieces.length;
const table = Float32Array.from({ length: size * size }, (_, i) =>
  next[Math.floor(i / size)] === i % size ? 5 : 0,
);

/** Sound features go through as they are. */
const encoder = network(
  node('Identity', ['input_features'], 'last_hidden_state'),
  input('input_features', float, ['batch', 80, 3000]),
  output('last_hidden_state', float, ['batch', 80, 3000]),
);
/** The likelihood of each next piece, looked up by the last. */
const decoder = network(
  node('Gather', ['table', 'input_ids'], 'logits'),
  bytes(
    5,
    message(
      number(1, size),
      number(1, size),
      number(2, float),
      bytes(8, 'table'),
      bytes(9, Buffer.from(table.buffer)),
    ),
  ),
  input('input_ids', int64, ['batch', 'length']),
  input('encoder_hidden_states', float, ['batch', 80, 3000]),
  output('logits', float, ['batch', 'length', size]),
);

const json = (content: object): Buffer => Buffer.from(JSON.stringify(content));

/** The files of the model by their path in its folder. */
export const tinyWhisper: ReadonlyMap<string, Buffer> = new Map([
  [
    'config.json',
    json({
      model_type: 'whisper',
      architectures: ['WhisperForConditionalGeneration'],
      is_encoder_decoder: true,
      d_model: 80,
      encoder_layers: 1,
      decoder_layers: 1,
      encoder_attention_heads: 1,
      decoder_attention_heads: 1,
      vocab_size: size,
      max_source_positions: 1500,
      decoder_start_token_id: start,
      eos_token_id: end,
      pad_token_id: end,
    }),
  ],
  [
    'generation_config.json',
    json({
      decoder_start_token_id: start,
      eos_token_id: end,
      pad_token_id: end,
      no_timestamps_token_id: untimed,
      is_multilingual: false,
      max_length: 20,
    }),
  ],
  [
    'preprocessor_config.json',
    json({
      feature_extractor_type: 'WhisperFeatureExtractor',
      processor_class: 'WhisperProcessor',
      feature_size: 80,
      sampling_rate: 16_000,
      hop_length: 160,
      n_fft: 400,
      chunk_length: 30,
      n_samples: 480_000,
      nb_max_frames: 3000,
    }),
  ],
  [
    'tokenizer_config.json',
    json({
      tokenizer_class: 'WhisperTokenizer',
      bos_token: '<|endoftext|>',
      eos_token: '<|endoftext|>',
      unk_token: '<|endoftext|>',
    }),
  ],
  [
    'tokenizer.json',
    json({
      version: '1.0',
      added_tokens: pieces.slice(3).map((content, i) => ({
        id: i + 3,
        content,
        single_word: false,
        lstrip: false,
        rstrip: false,
        normalized: false,
        special: true,
      })),
      normalizer: null,
      pre_tokenizer: {
        type: 'ByteLevel',
        add_prefix_space: false,
        trim_offsets: true,
        use_regex: true,
      },
      post_processor: null,
      decoder: { type: 'ByteLevel', add_prefix_space: true, trim_offsets: true, use_regex: true },
      model: {
        type: 'BPE',
        dropout: null,
        unk_token: '<|endoftext|>',
        continuing_subword_prefix: '',
        end_of_word_suffix: '',
        fuse_unk: false,
        vocab: Object.fromEntries(pieces.map((piece, id) => [piece, id])),
        merges: [],
      },
    }),
  ],
  ['onnx/encoder_model_quantized.onnx', encoder],
  ['onnx/decoder_model_merged_quantized.onnx', decoder],
]);
