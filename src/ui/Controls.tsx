import { useRef } from 'preact/hooks';
import { usePlace } from './context.ts';
import { recordsMessages as records } from './recordsMessages.ts';
import { roomMessages } from './roomMessages.ts';

/** Opening and closing the ear, with the reason told before the browser asks. */
export function Ear() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const source = room.source.value;
  const open = source.is === 'microphone' || source.is === 'recording';
  return (
    <div class="ear">
      {open ? (
        <button type="button" class="main" onClick={acts.close}>
          {source.is === 'recording' ? text.stopRecording : text.stopListening}
        </button>
      ) : (
        <button
          type="button"
          class="main"
          onClick={acts.listen}
          disabled={source.is === 'asking'}
          aria-describedby="before-microphone"
        >
          {source.is === 'lost' ? text.listenAgain : text.listen}
        </button>
      )}
      {source.is === 'microphone' && room.key.value !== 'none' && (
        <button type="button" aria-pressed={room.key.value === 'down'} onClick={acts.turnKey}>
          {roomMessages.key.turn}
        </button>
      )}
      <button
        type="button"
        onClick={() => {
          room.panel.value = 'check';
        }}
      >
        {roomMessages.check.title}
      </button>
      {!open && (
        <>
          <Recording />
          <button type="button" onClick={acts.demonstrate}>
            {text.demo}
          </button>
          <p id="before-microphone" class="quiet">
            {room.records.consent.value ? records.beforeMicrophone : text.beforeMicrophone}
          </p>
        </>
      )}
    </div>
  );
}

function Recording() {
  const { acts, messages } = usePlace();
  return (
    <label class="file button">
      <input
        type="file"
        accept="audio/wav,audio/x-wav,.wav"
        onChange={({ currentTarget }) => {
          const file = currentTarget.files?.[0];
          if (file !== undefined) acts.hear(file);
          currentTarget.value = '';
        }}
      />
      <span>{messages.text.chooseRecording}</span>
    </label>
  );
}

/** Typed words go the same way as spoken ones. The line stays where it is, ready for the next. */
export function Typing() {
  const { acts, messages } = usePlace();
  const { text } = messages;
  const line = useRef<HTMLInputElement>(null);
  return (
    <form
      class="typing"
      onSubmit={(event) => {
        event.preventDefault();
        const field = line.current;
        if (field === null || field.value.trim() === '') return;
        acts.say(field.value);
        field.value = '';
        field.focus();
      }}
    >
      <label for="typing">{text.typeLabel}</label>
      <div class="typing-line">
        <input
          id="typing"
          ref={line}
          type="text"
          autocomplete="off"
          autocapitalize="none"
          spellcheck={false}
          enterkeyhint="done"
          placeholder={text.typeHint}
        />
        <button type="submit">{text.enter}</button>
      </div>
    </form>
  );
}

/** The commands, each under the words that say it. */
const spokenCommands = [
  'affirm',
  'negative',
  'disregard',
  'undo',
  'say again',
  'read back',
  'what is left',
  'stand by',
  'stop',
] as const;

/** What brings the exam one step nearer to its end. */
function towardsEnd(complete: boolean, signed: boolean): string {
  if (signed) return 'next patient';
  return complete ? 'sign off' : 'exam complete';
}

export function Commands() {
  const { room, acts, messages } = usePlace();
  const { mode, record } = room.dialogue.value;
  const signed = room.signed.value;
  const end = towardsEnd(record.complete, signed);
  const shown = [
    ...spokenCommands.map((words) => (words === 'stand by' && mode === 'paused' ? 'go on' : words)),
    room.settings.value.lead === 'examiner' ? 'prompt me' : 'I lead',
    // What is named at the end as not examined is passed over by it.
    ...(mode === 'closing' ? ['skip'] : []),
    end,
  ];
  return (
    <>
      <ul class="commands" aria-label={messages.text.commands}>
        {shown.map((words) => (
          <li key={words}>
            <button
              type="button"
              class={words === end ? 'main' : ''}
              onClick={() => (words === 'stop' ? acts.hush() : acts.say(words))}
            >
              {words.charAt(0).toUpperCase() + words.slice(1)}
            </button>
          </li>
        ))}
      </ul>
      <p class="signed" role="status">
        {signed && roomMessages.signedMark}
      </p>
    </>
  );
}
