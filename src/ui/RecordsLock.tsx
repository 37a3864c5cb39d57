import { useState } from 'preact/hooks';
import { usePlace } from './context.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** A field for a passphrase. Its text goes nowhere but into the act that it is typed for. */
function Passphrase({
  label,
  name,
  fresh = false,
}: {
  readonly label: string;
  readonly name: string;
  readonly fresh?: boolean;
}) {
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="password"
        name={name}
        required
        autocomplete={fresh ? 'new-password' : 'current-password'}
      />
    </label>
  );
}

/** A form whose fields are read and emptied when it is sent. */
export function SecretForm({
  act,
  children,
}: {
  readonly act: (value: (name: string) => string, form: HTMLFormElement) => void;
  readonly children: preact.ComponentChildren;
}) {
  const { busy } = usePlace().room.records;
  return (
    <form
      class="secret"
      onSubmit={(event) => {
        event.preventDefault();
        if (busy.value) return;
        const form = event.currentTarget;
        const data = new FormData(form);
        act((name) => String(data.get(name) ?? ''), form);
        for (const field of form.querySelectorAll<HTMLInputElement>('input[type=password]')) {
          field.value = '';
        }
      }}
    >
      {children}
    </form>
  );
}

export function ChoosePassphrase() {
  const { records } = usePlace().room;
  return (
    <section aria-labelledby="choose-title">
      <h3 id="choose-title">{text.choose}</h3>
      <p>{text.chooseMore}</p>
      <p class="warning">{records.forgotten}</p>
      <SecretForm act={(value) => records.create(value('first'), value('again'))}>
        <Passphrase label={text.passphrase} name="first" fresh />
        <Passphrase label={text.repeated} name="again" fresh />
        <button type="submit" class="main">
          {text.create}
        </button>
      </SecretForm>
    </section>
  );
}

export function Unlock() {
  const { records } = usePlace().room;
  return (
    <section aria-labelledby="locked-title">
      <h3 id="locked-title">{text.lockedTitle}</h3>
      <p>{text.lockedMore}</p>
      <SecretForm act={(value) => records.unlock(value('passphrase'))}>
        <Passphrase label={text.passphrase} name="passphrase" />
        <button type="submit" class="main">
          {text.unlock}
        </button>
      </SecretForm>
      <details>
        <summary>{text.forgot}</summary>
        <p>
          {records.forgotten} {text.forgotMore}
        </p>
        <Sure label={text.clear} act={records.clear} />
      </details>
    </section>
  );
}

/** The lock of open records: shut it, change its passphrase, delete everything. */
export function OpenLock() {
  const { records } = usePlace().room;
  return (
    <section aria-labelledby="lock-title">
      <h3 id="lock-title">{text.passphrase}</h3>
      <p>{text.lockedMore}</p>
      <button type="button" onClick={records.shut}>
        {text.lock}
      </button>
      <details>
        <summary>{text.change}</summary>
        <p class="warning">{records.forgotten}</p>
        <SecretForm act={(value) => records.change(value('old'), value('first'), value('again'))}>
          <Passphrase label={text.passphrase} name="old" />
          <Passphrase label={text.newPassphrase} name="first" fresh />
          <Passphrase label={text.repeated} name="again" fresh />
          <button type="submit">{text.change}</button>
        </SecretForm>
      </details>
      <details>
        <summary>{text.clear}</summary>
        <Sure label={text.clear} act={records.clear} />
      </details>
    </section>
  );
}

/** What cannot be taken back is asked once more, in its place. */
export function Sure({
  label,
  name = label,
  act,
}: {
  readonly label: string;
  /** What a screen reader says of it, where the label alone does not tell. */
  readonly name?: string;
  readonly act: () => void;
}) {
  const [asked, ask] = useState(false);
  if (!asked) {
    return (
      <button type="button" aria-label={name} onClick={() => ask(true)}>
        {label}
      </button>
    );
  }
  return (
    <fieldset class="sure">
      <legend>{name}?</legend>
      <button
        type="button"
        class="main"
        onClick={() => {
          ask(false);
          act();
        }}
      >
        {text.sure}
      </button>
      <button type="button" ref={(button) => button?.focus()} onClick={() => ask(false)}>
        {text.keep}
      </button>
    </fieldset>
  );
}
