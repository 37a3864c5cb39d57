import { findingName } from '../exam/index.ts';
import { usePlace } from './context.ts';
import type { Said } from './room.ts';
import { roomMessages } from './roomMessages.ts';
import { type Standing, standingOf } from './standing.ts';

/** What a glance from the couch must tell: what it does, what it heard, what it understood. */
export function Stage() {
  const { room, messages } = usePlace();
  const standing = standingOf({
    source: room.source.value,
    engine: room.engine.value,
    deaf: room.deaf.value,
    speaking: room.speaking.value !== '',
    mode: room.dialogue.value.mode,
    key: room.key.value,
  });
  return (
    <section class="stage" data-standing={standing} aria-label={messages.text.status}>
      <div class="standing">
        <Sign standing={standing} />
        <div>
          <Word standing={standing} />
          <p class="standing-more">
            {messages.standingMore[standing]} <KeyHint /> <CallHint standing={standing} />
          </p>
        </div>
        <Loudness />
      </div>
      <Troubles />
      <Words />
    </section>
  );
}

/** The state in one word. What a key does every few seconds is shown, but announced once only. */
function Word({ standing }: { readonly standing: Standing }) {
  const { room, messages } = usePlace();
  const word = messages.standing[standing];
  const { use, name } = room.settings.value.key;
  if (use === 'none') {
    return (
      <p key="alone" class="standing-word" role="status">
        {word}
      </p>
    );
  }
  const byKey = standing === 'listening' || standing === 'key-up';
  return (
    <div key="with key">
      <p class="standing-word" aria-hidden="true">
        {word}
      </p>
      <p class="unseen" role="status">
        {byKey ? roomMessages.key.told[use](name || roomMessages.key.some) : word}
      </p>
    </div>
  );
}

/** What to do with the key while it is up and nothing is heard. */
function KeyHint() {
  const { room } = usePlace();
  const { use, name } = room.settings.value.key;
  const open = room.source.value.is === 'microphone';
  if (use === 'none' || !open || room.key.value !== 'up') return null;
  return <>{roomMessages.key.up[use](name || roomMessages.key.some)}</>;
}

/** The word to begin with, where there is one. */
function CallHint({ standing }: { readonly standing: Standing }) {
  const { room } = usePlace();
  const word = room.dialogue.value.attention;
  const call = room.calls.find(({ id }) => id === word);
  const listens = standing === 'listening' || standing === 'standing-by' || standing === 'key-up';
  if (call === undefined || !listens) return null;
  return <>{roomMessages.attention.begin(call.words)}</>;
}

/** A sign of its own shape for each state, so that none rests on colour. */
function Sign({ standing }: { readonly standing: Standing }) {
  return (
    <svg class="sign" viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      {signs[standing]}
    </svg>
  );
}

const ring = <circle cx="24" cy="24" r="19" class="line" />;
const waves = (
  <>
    <circle cx="24" cy="24" r="7" class="fill" />
    <path d="M11 12a17 17 0 0 0 0 24M37 12a17 17 0 0 1 0 24" class="line" />
  </>
);
const cross = <path d="M12 12 36 36M36 12 12 36" class="line" />;

const signs: Readonly<Record<Standing, preact.JSX.Element>> = {
  off: ring,
  loading: <path d="M14 8h20L14 40h20Z" class="line" />,
  asking: (
    <>
      {ring}
      <path d="M24 13v13M24 33v1" class="line" />
    </>
  ),
  listening: waves,
  'key-up': <path d="M8 16h32v18H8ZM16 25h16" class="line" />,
  playing: <path d="M14 8v32l26-16Z" class="fill" />,
  speaking: (
    <>
      <path d="M6 18v12h8l10 9V9L14 18Z" class="fill" />
      <path d="M31 16a11 11 0 0 1 0 16M37 10a19 19 0 0 1 0 28" class="line" />
    </>
  ),
  'standing-by': <path d="M15 9v30M33 9v30" class="line wide" />,
  deaf: (
    <>
      {ring}
      <path d="M10 38 38 10" class="line" />
    </>
  ),
  lost: cross,
};

export function Loudness() {
  const { room, messages } = usePlace();
  const source = room.source.value;
  if (source.is !== 'microphone' && source.is !== 'recording') return null;
  return (
    <label class="loudness">
      <span class="quiet">{messages.text.loudness}</span>
      <meter min={0} max={1} value={room.level.value} />
    </label>
  );
}

function Words() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const last = room.said.value.findLast((said) => said.heard !== '');
  const partial = room.partial.value;
  const hearing = partial.length > 0;
  // A question stands in large letters of its own; here it is only announced.
  const asked = room.dialogue.value.asked.length > 0;
  return (
    <div class="words">
      <p class="heard">
        <span class="quiet">{text.heard}</span>{' '}
        {hearing ? (
          <q class="partial">{partial.join(' ')} …</q>
        ) : last === undefined ? (
          <span>{text.nothingHeard}</span>
        ) : (
          <q>{last.heard}</q>
        )}
      </p>
      {last !== undefined && <Understood said={last} fresh={!hearing} />}
      <p class={asked ? 'said-back unseen' : 'said-back'} role="status">
        {last !== undefined && last.readBack !== '' && (
          <>
            <span class="quiet">{text.saidBack}</span> {last.readBack}
          </>
        )}
      </p>
    </div>
  );
}

function Understood({ said, fresh }: { readonly said: Said; readonly fresh: boolean }) {
  const { messages } = usePlace();
  const { text, commands } = messages;
  const name = `understood${fresh ? '' : ' before'}${said.outcome === 'ask' ? ' doubted' : ''}`;
  if (said.outcome === 'ignored')
    return <p class={`${name} passed`}>{said.typed ? text.notUnderstood : text.passedOver}</p>;
  if (said.command !== null) {
    return (
      <p class={name}>
        <span class="quiet">{text.understood}</span> {commands[said.command] ?? said.heard}
      </p>
    );
  }
  return (
    <div class={name}>
      {said.findings.length > 0 && (
        <>
          <span class="quiet">{text.understood}</span>
          <ul>
            {said.findings
              .map((finding) => findingName(finding, messages.names))
              .map((name) => (
                <li key={name}>{name}</li>
              ))}
          </ul>
        </>
      )}
      {said.outcome === 'ask' && <p class="must">{text.mustAnswer}</p>}
    </div>
  );
}

/** What went wrong outside, each in one line that says what to do. */
export function Troubles() {
  const { room, messages } = usePlace();
  const source = room.source.value;
  const engine = room.engine.value;
  const lines = [
    source.is === 'lost' ? messages.trouble[source.why] : '',
    engine.is === 'missing' ? `${engine.fault} ${messages.text.typingWorks}` : '',
    room.notice.value,
  ].filter((line) => line !== '');
  return (
    <div class="troubles" role="alert">
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </div>
  );
}
