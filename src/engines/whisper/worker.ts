import {
  type AutomaticSpeechRecognitionPipeline,
  env,
  LogitsProcessor,
  LogitsProcessorList,
  pipeline,
  type Tensor,
} from '@huggingface/transformers';
import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import type { WhisperAnswer, WhisperAsk } from './protocol.ts';

const engine = 'Whisper';
const { engine: text } = engineMessages;

/** Stands for the model's folder; nothing is ever asked for under it. */
const folder = 'model';

/** Every file comes from what was handed over; the library may ask nobody for anything. */
function readFrom(files: ReadonlyMap<string, Blob>): void {
  env.allowRemoteModels = false;
  env.allowLocalModels = true;
  env.localModelPath = '/';
  env.useBrowserCache = false;
  env.useWasmCache = false;
  env.useCustomCache = true;
  env.customCache = {
    match: async (request: string) => {
      const file = files.get(request.slice(request.indexOf(`/${folder}/`) + folder.length + 2));
      return file === undefined ? undefined : new Response(file);
    },
    put: async () => {},
  } as unknown as NonNullable<typeof env.customCache>;
  env.fetch = async (address) => new Response(null, { status: 404, statusText: String(address) });
  const { wasm } = env.backends.onnx;
  if (wasm !== undefined) {
    wasm.numThreads = 1;
    // The library sets this to a public server; without it the runtime takes the file built with it.
    delete wasm.wasmPaths;
  }
}

/** Takes down how likely each word piece was when it was chosen. */
class Likelihood extends LogitsProcessor {
  #sum = 0;
  #count = 0;
  override _call(_ids: bigint[][], logits: Tensor): Tensor {
    const data = logits.data as Float32Array;
    let most = Number.NEGATIVE_INFINITY;
    for (const value of data) most = Math.max(most, value);
    let all = 0;
    for (const value of data) all += Math.exp(value - most);
    this.#sum -= Math.log(all);
    this.#count += 1;
    return logits;
  }
  /** The mean of a piece, geometric. */
  get mean(): number {
    return this.#count === 0 ? 0 : Math.exp(this.#sum / this.#count);
  }
}

let hearing: AutomaticSpeechRecognitionPipeline | undefined;

async function obey(ask: WhisperAsk): Promise<WhisperAnswer> {
  if (ask.is === 'open') {
    const lacking = ['config.json', 'tokenizer.json', 'preprocessor_config.json'].find(
      (path) => !ask.files.has(path),
    );
    if (lacking !== undefined) {
      throw new PortError('not-found', text.lacks(engine, lacking));
    }
    readFrom(ask.files);
    hearing = await pipeline('automatic-speech-recognition', folder, {
      device: 'wasm',
      dtype: 'q8',
      local_files_only: true,
    });
    return { ok: true, text: '', probability: 1 };
  }
  if (hearing === undefined) throw new PortError('closed', text.absent(engine));
  const likelihood = new Likelihood();
  const processors = new LogitsProcessorList();
  processors.push(likelihood);
  const heard = await hearing(ask.sound, {
    // A sentence of an exam is short; the engine is known to repeat itself without end.
    max_new_tokens: 60,
    logits_processor: processors,
  } as object);
  const written = Array.isArray(heard) ? (heard[0] ?? { text: '' }) : heard;
  return { ok: true, text: written.text, probability: likelihood.mean };
}

addEventListener('message', async ({ data }: MessageEvent<WhisperAsk>) => {
  const answer = await obey(data).catch((why: unknown): WhisperAnswer => {
    if (why instanceof PortError) return { ok: false, code: why.code, message: why.message };
    const line = String(why instanceof Error ? why.message : why).split('\n')[0];
    return data.is === 'open'
      ? {
          ok: false,
          code: 'corrupt',
          message: text.refused(engine, line ?? ''),
        }
      : { ok: false, code: 'corrupt', message: text.failed(engine, line ?? '') };
  });
  postMessage(answer);
});
