import { type Fitting, PortError, type Recogniser } from '../../ports.ts';
import { engineMessages } from '../messages.ts';
import type { LoadFile } from '../soundswallower/model.ts';
import { quietModule } from '../soundswallower/module.ts';
import type { Answer, Ask, Requests } from './protocol.ts';
import { createEars } from './recogniser.ts';

/**
 * Model files that were given, and the rest from the page's own origin; a page in place of a file
 * is told by its first bytes.
 */
const filesAt =
  (base: string, given: ReadonlyMap<string, Blob>): LoadFile =>
  async (name) => {
    const own = given.get(name);
    if (own !== undefined) return new Uint8Array(await own.arrayBuffer());
    return bytesAt(new URL(name, base), name);
  };

async function bytesAt(address: string | URL, name: string): Promise<Uint8Array> {
  const missing = (cause?: unknown) =>
    new PortError('not-found', engineMessages.model.missing(name), { cause });
  const response = await fetch(address).catch((cause: unknown) => {
    throw missing(cause);
  });
  if (!response.ok) throw missing();
  return new Uint8Array(await response.arrayBuffer());
}

let recogniser: Recogniser | undefined;

const opened = (): Recogniser => {
  if (recogniser === undefined) throw new PortError('closed', engineMessages.absent);
  return recogniser;
};

const fitting = (): Fitting => {
  const { fitting } = opened();
  if (fitting === undefined) throw new PortError('unsupported', engineMessages.absent);
  return fitting;
};

async function obey(ask: Ask): Promise<Requests[Ask['is']]['answer']> {
  switch (ask.is) {
    case 'open':
      recogniser = await createEars({
        weights: await bytesAt(ask.what.weights, 'examear.bin'),
        createModule: quietModule,
        loadFile: filesAt(ask.what.model, ask.what.files),
        pronunciations: new Map(ask.what.pronunciations),
        watched: () => performance.now(),
      });
      return undefined;
    case 'listenFor':
      await opened().listenFor(ask.what);
      return undefined;
    case 'start':
      await opened().start();
      return undefined;
    case 'feed':
      return opened().feed(ask.what);
    case 'finish':
      return opened().finish();
    case 'reconsider':
      return opened().reconsider(ask.what);
    case 'forget':
      await opened().forget();
      return undefined;
    case 'abort':
      await opened().abort();
      return undefined;
    case 'hold':
      return fitting().hold(ask.what);
    case 'settle':
      return fitting().settle(ask.what.held, ask.what.right);
    case 'test':
      return fitting().test(ask.what.sound, ask.what.words);
    case 'learn':
      return fitting().learn();
    case 'forgetReplies':
      await fitting().forget();
      return undefined;
    case 'use':
      return fitting().use(ask.what);
    default:
      return ask satisfies never;
  }
}

async function answer(ask: Ask): Promise<Answer> {
  try {
    return { id: ask.id, ok: true, what: await obey(ask) };
  } catch (failure) {
    const { code, message } =
      failure instanceof PortError
        ? failure
        : { code: 'corrupt' as const, message: engineMessages.failed(String(failure)) };
    return { id: ask.id, ok: false, code, message };
  }
}

let queue: Promise<void> = Promise.resolve();
addEventListener('message', ({ data }: MessageEvent<Ask>) => {
  queue = queue.then(async () => postMessage(await answer(data)));
});
