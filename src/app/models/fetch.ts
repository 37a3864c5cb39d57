import { PortError } from '../../ports.ts';
import { browserShelf } from './browserShelf.ts';
import type { FromFrame, ToFrame } from './frame.ts';
import { install } from './install.ts';
import { modelOf } from './manifest.ts';
import { modelFaultMessages as text } from './messages.ts';
import { webSource } from './source.ts';

// The one page of the program that may connect elsewhere, in a frame of its own (frame.ts). It does
// nothing until the page around it asks.

const stop = new AbortController();
const tell = (what: FromFrame): void => parent.postMessage(what, location.origin);

async function add({ model, confirm }: Extract<ToFrame, { is: 'add' }>): Promise<FromFrame> {
  try {
    const installation = await install({
      model: modelOf(model),
      source: webSource(),
      shelf: await browserShelf(),
      progress: (done) => tell({ is: 'progress', done }),
      signal: stop.signal,
      ...(confirm === undefined ? {} : { confirm }),
    });
    return { is: 'ended', installation };
  } catch (why) {
    return why instanceof PortError
      ? { is: 'failed', code: why.code, message: why.message }
      : { is: 'failed', code: 'corrupt', message: text.notAdded(model, String(why)) };
  }
}

addEventListener('message', ({ source, origin, data }: MessageEvent<ToFrame>) => {
  if (source !== parent || origin !== location.origin) return;
  if (data.is === 'stop') stop.abort();
  else void add(data).then(tell);
});

if (parent !== self) tell({ is: 'ready' });
