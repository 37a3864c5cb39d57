import { usePlace } from './context.ts';
import { SecretForm } from './RecordsLock.tsx';
import { recordsMessages as text } from './recordsMessages.ts';

/** What is written of the exam at hand beside its findings. */
export function ThisExam() {
  const { records } = usePlace().room;
  const { examiner, consent, sounds, lock } = records;
  const open = lock.value === 'open';
  return (
    <section aria-labelledby="this-title">
      <h3 id="this-title">{text.this}</h3>
      <label class="field">
        <span>{text.examiner}</span>
        <input
          type="text"
          autocomplete="off"
          value={examiner.value}
          onInput={({ currentTarget }) => {
            examiner.value = currentTarget.value;
          }}
        />
      </label>
      <label class="option">
        <input
          type="checkbox"
          disabled={!open}
          checked={consent.value}
          onChange={({ currentTarget }) => {
            consent.value = currentTarget.checked;
          }}
        />
        <span>{text.consent}</span>
      </label>
      <p class="quiet">{open ? text.consentMore : text.consentNeeds}</p>
      {sounds.value > 0 && <p role="status">{text.soundsKept(sounds.value)}</p>}
    </section>
  );
}

function PackPassphrase() {
  return (
    <label class="field">
      <span>{text.packPassphrase}</span>
      <input type="password" name="pack" required autocomplete="off" minLength={8} />
    </label>
  );
}

/** Review packs, out and in. */
export function Packs() {
  const { room } = usePlace();
  const { records } = room;
  const { opinion } = records;
  return (
    <section aria-labelledby="packs-title">
      <h3 id="packs-title">{text.reviewTitle}</h3>
      <p>{text.reviewMore}</p>
      {records.review.open.value !== undefined && (
        <button
          type="button"
          class="main"
          onClick={() => {
            room.panel.value = 'review';
          }}
        >
          {text.goOn}
        </button>
      )}
      <SecretForm act={(value) => records.packOut(value('pack'))}>
        <label class="field">
          <span>{text.opinion}</span>
          <input
            type="text"
            autocomplete="off"
            value={opinion.value}
            onInput={({ currentTarget }) => {
              opinion.value = currentTarget.value;
            }}
          />
        </label>
        <PackPassphrase />
        <button type="submit">{text.packOut}</button>
      </SecretForm>
      <SecretForm
        act={(value, form) => {
          const file = form.querySelector<HTMLInputElement>('input[type=file]')?.files?.[0];
          if (file !== undefined) records.packIn(file, value('pack'));
        }}
      >
        <label class="field">
          <span>{text.packChoose}</span>
          <input type="file" name="file" required accept=".plessor" />
        </label>
        <PackPassphrase />
        <button type="submit">{text.packIn}</button>
      </SecretForm>
    </section>
  );
}

export function Bring() {
  const { records } = usePlace().room;
  return (
    <section aria-labelledby="bring-title">
      <h3 id="bring-title">{text.bringTitle}</h3>
      <label class="field">
        <span>{text.bring}</span>
        <input
          type="file"
          accept=".json,application/json,application/fhir+json"
          onChange={({ currentTarget }) => {
            const file = currentTarget.files?.[0];
            if (file !== undefined) records.bring(file);
            currentTarget.value = '';
          }}
        />
      </label>
    </section>
  );
}

export function Sending() {
  const { records } = usePlace().room;
  return (
    <section aria-labelledby="send-title">
      <h3 id="send-title">{text.sendTitle}</h3>
      <p>{text.sendMore}</p>
      <SecretForm act={(value) => records.send(value('server'), value('token'))}>
        <label class="field">
          <span>{text.server}</span>
          <input type="url" name="server" required autocomplete="off" placeholder="https://" />
        </label>
        <label class="field">
          <span>{text.token}</span>
          <input type="password" name="token" autocomplete="off" />
        </label>
        <ul class="commands">
          <li>
            <button type="submit">{text.send}</button>
          </li>
          <li>
            <button type="button" disabled={!records.busy.value} onClick={records.stopSending}>
              {text.stopSending}
            </button>
          </li>
        </ul>
      </SecretForm>
    </section>
  );
}
