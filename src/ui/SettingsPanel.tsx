import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { usePlace } from './context.ts';
import { modelMessages } from './modelMessages.ts';
import { type Settings, themes, voices } from './room.ts';
import { roomMessages } from './roomMessages.ts';
import { type KeyOwner, keyName, keyUses, ownerOf, type TalkKey, writes } from './talkKey.ts';

const leads = ['examiner', 'plessor'] as const;
const strictnesses = ['every', 'costly', 'end'] as const;
const leadNames = { examiner: 'leadExaminer', plessor: 'leadPlessor' } as const;

export function SettingsPanel() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const { learning } = roomMessages;
  const learnt = room.learnt.value;
  const now = room.settings.value;
  const set = (change: Partial<Settings>): void => {
    room.settings.value = { ...room.settings.value, ...change };
  };
  return (
    <>
      <Choose
        title={text.lead}
        all={leads}
        now={now.lead}
        name={(lead) => text[leadNames[lead]]}
        pick={(lead) => set({ lead })}
      />
      <Choose
        title={roomMessages.confirmTitle}
        all={strictnesses}
        now={now.strictness}
        name={(one) => roomMessages.confirmOptions[one]}
        pick={(strictness) => set({ strictness })}
      />
      <Choose
        title={roomMessages.aloudTitle}
        all={strictnesses}
        now={now.aloud}
        name={(one) => roomMessages.aloudOptions[one]}
        pick={(aloud) => set({ aloud })}
      />
      <Choose
        title={text.voice}
        all={voices}
        now={now.voice}
        name={(voice) => messages.voices[voice]}
        pick={(voice) => set({ voice })}
      />
      <Slide
        title={text.pace}
        least={0.6}
        most={1.6}
        now={now.pace}
        pick={(pace) => set({ pace })}
      />
      <Slide
        title={text.volume}
        least={0}
        most={1}
        now={now.volume}
        pick={(volume) => set({ volume })}
      />
      <Tick
        title={text.headphones}
        now={now.headphones}
        pick={(headphones) => set({ headphones })}
      />
      <Tick title={text.earcons} now={now.earcons} pick={(earcons) => set({ earcons })} />
      <Choose
        title={roomMessages.attention.title}
        all={['', ...room.calls.map(({ id }) => id)]}
        now={now.attention}
        name={(id) => {
          const call = room.calls.find((one) => one.id === id);
          return call === undefined ? roomMessages.attention.none : <q>{call.words}</q>;
        }}
        pick={(attention) => set({ attention })}
      >
        <p class="quiet">{roomMessages.attention.intro}</p>
      </Choose>
      <KeyChoice now={now.key} pick={(key) => set({ key })} />
      <Choose
        title={text.theme}
        all={themes}
        now={now.theme}
        name={(theme) => messages.themes[theme]}
        pick={(theme) => set({ theme })}
      />
      <fieldset>
        <legend>{learning.title}</legend>
        <Tick title={learning.learn} now={now.learn} pick={(learn) => set({ learn })} />
        <p class="quiet">{learning.intro}</p>
        <p role="status">
          {learnt === 0 ? now.learn && learning.none : learning.learnt(messages.count(learnt))}
          {learnt > 0 && !now.learn && ` ${learning.unused}`}
        </p>
        <button type="button" onClick={() => acts.forgetVoice()}>
          {learning.forget}
        </button>
      </fieldset>
      <fieldset>
        <legend>{roomMessages.offlineTitle}</legend>
        <p>{roomMessages.offline[room.offline.value.is]}</p>
        {room.offline.value.is === 'kept' && (
          <p class="quiet">{roomMessages.holds(messages.count(room.offline.value.megabytes))}</p>
        )}
      </fieldset>
      <fieldset>
        <legend>{modelMessages.title}</legend>
        <button
          type="button"
          onClick={() => {
            room.panel.value = 'models';
          }}
        >
          {modelMessages.open}
        </button>
      </fieldset>
    </>
  );
}

/** The examiner shows which key by pressing it. */
function KeyChoice({
  now,
  pick,
}: {
  readonly now: TalkKey;
  readonly pick: (key: TalkKey) => void;
}) {
  const text = roomMessages.key;
  const [state, setState] = useState<'idle' | 'choosing' | KeyOwner>('idle');
  const waits = state !== 'idle';
  const press = (event: KeyboardEvent): void => {
    const { code, key, ctrlKey, altKey, metaKey, repeat } = event;
    if (!waits || repeat) return;
    if (code === 'Tab' || code === 'Escape') setState('idle');
    // The way on from here stays open.
    if (code === 'Tab') return;
    event.preventDefault();
    event.stopPropagation();
    if (code === 'Escape') return;
    const pressed = { code, key, chord: ctrlKey || altKey || metaKey };
    const owner = ownerOf(pressed);
    if (owner === undefined) pick({ ...now, code, name: keyName(pressed) });
    setState(owner ?? 'idle');
  };
  const told = (): string => {
    if (state === 'choosing') return text.press;
    if (state !== 'idle') return text.taken[state];
    if (now.code === '') return text.notChosen;
    return writes({ key: now.name })
      ? `${text.chosen(now.name)} ${text.writes}`
      : text.chosen(now.name);
  };
  return (
    <Choose
      title={text.title}
      all={keyUses}
      now={now.use}
      name={(use) => text.uses[use]}
      pick={(use) => pick({ ...now, use })}
    >
      <p class="quiet">{text.intro}</p>
      {now.use !== 'none' && (
        <button
          type="button"
          data-key-chooser
          aria-pressed={waits}
          onClick={() => setState('choosing')}
          onKeyDown={press}
          onBlur={() => setState('idle')}
        >
          {text.choose}
        </button>
      )}
      <p role="status">{now.use !== 'none' && told()}</p>
    </Choose>
  );
}

function Choose<T extends string>({
  title,
  all,
  now,
  name,
  pick,
  children,
}: {
  readonly title: string;
  readonly all: readonly T[];
  readonly now: T;
  readonly name: (one: T) => ComponentChildren;
  readonly pick: (one: T) => void;
  readonly children?: ComponentChildren;
}) {
  return (
    <fieldset>
      <legend>{title}</legend>
      {all.map((one) => (
        <label key={one} class="option">
          <input type="radio" name={title} checked={one === now} onChange={() => pick(one)} />
          <span>{name(one)}</span>
        </label>
      ))}
      {children}
    </fieldset>
  );
}

function Slide({
  title,
  least,
  most,
  now,
  pick,
}: {
  readonly title: string;
  readonly least: number;
  readonly most: number;
  readonly now: number;
  readonly pick: (value: number) => void;
}) {
  const { messages } = usePlace();
  return (
    <label class="field">
      <span>
        {title}: {messages.percent(now)}
      </span>
      <input
        type="range"
        min={least}
        max={most}
        step={0.1}
        value={now}
        onInput={({ currentTarget }) => pick(currentTarget.valueAsNumber)}
      />
    </label>
  );
}

function Tick({
  title,
  now,
  pick,
}: {
  readonly title: string;
  readonly now: boolean;
  readonly pick: (value: boolean) => void;
}) {
  return (
    <label class="option">
      <input
        type="checkbox"
        checked={now}
        onChange={({ currentTarget }) => pick(currentTarget.checked)}
      />
      <span>{title}</span>
    </label>
  );
}
