import { effect } from '@preact/signals';
import { render } from 'preact';
import { browserMicrophone } from '../audio/microphone.ts';
import { readWav } from '../audio/wav.ts';
import { chosenLanguage, ms } from '../exam/index.ts';
import { indexedDbShelf, SealedVault } from '../store/index.ts';
import { ExamRoom, fetchAhead, interfaceMessages, late } from '../ui/index.ts';
import '../ui/page.css';
import '../ui/theme.css';
import '../ui/stage.css';
import '../ui/record.css';
import '../ui/summary.css';
import '../ui/panel.css';
import '../ui/records.css';
import '../ui/review.css';
import '../ui/model.css';
import { audioOutput } from '../voice/index.ts';
import { download } from './download.ts';
import { createEar } from './ear.ts';
import { playEarcon } from './earcon.ts';
import { spoken } from './language.ts';
import { localizerInWorker } from './localizer.ts';
import { mark } from './mark.ts';
import { browserShelf } from './models/browserShelf.ts';
import { fetchInFrame } from './models/frame.ts';
import { createModelList } from './models/list.ts';
import { embedded } from './models/manifest.ts';
import { type LoadedModel, loadModel, pageEngines } from './models/recogniser.ts';
import { createKeeping } from './offline.ts';
import { unpack } from './packed.ts';
import { playWav } from './playback.ts';
import { pronunciations } from './pronunciations.ts';
import { inFrame } from './recordsFrame.ts';
import { createKeeper } from './recordsKeeper.ts';
import { createRoom } from './room.ts';
import { createVoices } from './voice.ts';

/** The bytes of a file in pieces; not every browser lets its streams be iterated. */
async function* bytesOf(file: Blob): AsyncGenerator<Uint8Array> {
  const reader = file.stream().getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    yield value;
  }
}

let sound: AudioContext | undefined;
/** One for the page's whole life, made when first wanted: before a press it would be held back. */
const context = (): AudioContext => {
  sound ??= new AudioContext();
  return sound;
};
const messages = interfaceMessages[chosenLanguage];
const voices = createVoices(context, messages);

const made = await fetch('./networks.bin')
  .then(async (response) => unpack(new Uint8Array(await response.arrayBuffer())))
  // Without them it listens a little later.
  .catch(() => undefined);
const language = spoken(chosenLanguage, made);

const modelPlace = {
  embeddedAt: new URL('./model/en-us/', document.baseURI),
  examEarAt: new URL('./model/examear.bin', document.baseURI),
  voskWorkerAt: new URL('./vosk-worker.js', document.baseURI),
  words: language.words,
  pronunciations: pronunciations(),
  shelf: browserShelf,
};
let hearing: LoadedModel | undefined;
let renewed = (): void => {};
const models = createModelList({
  shelf: browserShelf,
  fetch: fetchInFrame,
  engines: pageEngines,
  device: {
    memoryGB: Reflect.get(navigator, 'deviceMemory'),
    webgpu: 'gpu' in navigator,
  },
  store: localStorage,
  chose: () => renewed(),
});

/** The chosen model; where it does not load, the embedded one, so that the exam goes on. */
async function loadHearing(told: (why: unknown) => void): Promise<LoadedModel> {
  const model = await models.hearing();
  try {
    return await loadModel(model, modelPlace);
  } catch (why) {
    if (model === embedded) throw why;
    models.failed(model.id, why);
    told(why);
    return loadModel(embedded, modelPlace);
  }
}

/** Not every browser tells of a device that comes back, nor of a call that has ended. */
const regainMs = 3000;
function whenMicrophoneMayBeBack(again: () => void): () => void {
  const timer = setInterval(again, regainMs);
  navigator.mediaDevices?.addEventListener('devicechange', again);
  return () => {
    clearInterval(timer);
    navigator.mediaDevices?.removeEventListener('devicechange', again);
  };
}

const demonstration = late(() => import('./demonstration.ts'));
const keeping = createKeeping(navigator.serviceWorker, navigator.storage);
const vault = new SealedVault(indexedDbShelf('plessor', (line) => tell(line)));

const { room, acts, touch, key, tick, tell } = createRoom({
  language,
  messages,
  now: () => ms(Date.now()),
  microphone: browserMicrophone(),
  voice: voices.voice,
  earcon: (name, { earcons, volume, voice }) => {
    if (earcons && voice !== 'silent') void playEarcon(context(), name, volume);
  },
  ear: async (on) => {
    await hearing?.recogniser.close();
    hearing = await loadHearing(on.failed);
    const { recogniser, calibration } = hearing;
    const ear = createEar({ recogniser, language, calibration, turn: mark, ...on });
    await ear.prepare();
    return ear;
  },
  learning: {
    fitting: () => hearing?.recogniser.fitting,
    render: async (words, voice) => (await voices.flite.render(words, { voice })).samples,
    idle: () => idle(),
  },
  models: (renew) => {
    renewed = renew;
    return models;
  },
  read: (file) => readWav(bytesOf(file)),
  localizer: localizerInWorker(chosenLanguage),
  demo: async () => {
    const { demonstrate, demoScript } = await demonstration.get();
    const script = demoScript();
    return {
      title: script.title,
      play: (mouth, signal) => {
        const { flite } = voices;
        const output = audioOutput(context());
        return demonstrate(script, { flite, output, quiet: () => mouth.quiet() }, signal);
      },
    };
  },
  records: {
    vault,
    keeper: createKeeper(vault),
    localizer: localizerInWorker(chosenLanguage),
    persist: () => void navigator.storage?.persist?.().catch(() => false),
    send: (server, bundle, { again, signal }) =>
      inFrame('./send.html', { server, bundle }, { told: again, signal }),
    play: playWav,
    print: async (html) => void (await inFrame('./paper.html', { html })),
    save: (name, content) => download({ name, mediaType: 'application/octet-stream', content }),
  },
  save: ({ name, mediaType, text }) =>
    download({ name, mediaType: `${mediaType};charset=utf-8`, content: text }),
  copy: (text) => navigator.clipboard.writeText(text),
  store: localStorage,
  offline: keeping.state,
  regain: whenMicrophoneMayBeBack,
});

/** Resolves when the page has nothing more urgent to do; not every browser tells. */
const idle = (): Promise<void> =>
  new Promise((resolve) => {
    if ('requestIdleCallback' in window) requestIdleCallback(() => resolve());
    else setTimeout(resolve, 200);
  });

const untouched = (): boolean => room.said.peek().length === 0 && room.source.peek().is === 'none';
// Once the recogniser is there: what is kept for later must not make the examiner wait now.
const started = effect(() => {
  if (room.engine.value.is === 'loading') return;
  queueMicrotask(() => started());
  mark('ready');
  void keeping.begin(untouched).then(() => fetchAhead(idle));
});

setInterval(tick, 5000);
addEventListener('keydown', (event) => {
  if (event.key === 'Escape') acts.hush();
});
const inText = ({ target }: Event): boolean =>
  target instanceof HTMLTextAreaElement ||
  (target instanceof HTMLInputElement &&
    /^(text|search|password|url|date|number)$/.test(target.type));
/** Where the key is being chosen it is no switch yet. */
const choosing = ({ target }: Event): boolean =>
  target instanceof Element && target.closest('[data-key-chooser]') !== null;
addEventListener(
  'keydown',
  (event) => {
    const { code, key: label, repeat, ctrlKey, altKey, metaKey } = event;
    const press = { code, key: label, repeat, chord: ctrlKey || altKey || metaKey };
    if (!choosing(event) && key.down(press, inText(event))) event.preventDefault();
  },
  { capture: true },
);
addEventListener(
  'keyup',
  (event) => {
    if (key.up(event)) event.preventDefault();
  },
  { capture: true },
);
addEventListener('blur', () => key.away());
for (const sign of ['keydown', 'pointerdown']) addEventListener(sign, touch, { capture: true });
addEventListener('beforeunload', (event) => {
  if (room.unsaved.peek()) event.preventDefault();
});

const place = document.querySelector('#room');
if (place === null) throw new Error('index.html has no place for the exam room');
document.documentElement.lang = messages.language;
render(<ExamRoom room={room} acts={acts} messages={messages} />, place);
