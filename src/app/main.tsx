import { render } from 'preact';
import { ms } from '../exam/index.ts';
import { PortError } from '../ports.ts';
import { ExamRoom, english as messages } from '../ui/index.ts';
import '../ui/page.css';
import '../ui/theme.css';
import '../ui/stage.css';
import '../ui/record.css';
import '../ui/summary.css';
import '../ui/panel.css';
import { download } from './download.ts';
import { playEarcon } from './earcon.ts';
import { english } from './language.ts';
import { createRoom } from './room.ts';
import { createVoices } from './voice.ts';

let sound: AudioContext | undefined;
/** One for the page's whole life, made when first wanted: before a press it would be held back. */
const context = (): AudioContext => {
  sound ??= new AudioContext();
  return sound;
};
const voices = createVoices(context);

const { room, acts } = createRoom({
  language: english(),
  messages,
  now: () => ms(Date.now()),
  microphone: {
    listen: () => Promise.reject(new PortError('unsupported', 'no microphone yet')),
  },
  voice: voices.voice,
  earcon: (name, { earcons, volume, voice }) => {
    if (earcons && voice !== 'silent') void playEarcon(context(), name, volume);
  },
  ear: () => Promise.reject(new PortError('not-found', 'The recogniser is not here yet.')),
  read: () => Promise.reject(new PortError('unsupported', 'no files yet')),
  demos: [],
  demonstrate: async function* none() {},
  keep: () => undefined,
  save: download,
  copy: (text) => navigator.clipboard.writeText(text),
  drawing: () => undefined,
  store: localStorage,
});

addEventListener('keydown', (event) => {
  if (event.key === 'Escape') acts.hush();
});
addEventListener('beforeunload', (event) => {
  if (room.unsaved.peek()) event.preventDefault();
});

const place = document.querySelector('#room');
if (place === null) throw new Error('index.html has no place for the exam room');
render(<ExamRoom room={room} acts={acts} messages={messages} />, place);
