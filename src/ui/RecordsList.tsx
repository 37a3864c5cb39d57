import { useState } from 'preact/hooks';
import { planName } from '../exam/index.ts';
import { usePlace } from './context.ts';
import { Sure } from './RecordsLock.tsx';
import type { ListedExam } from './records.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** Exams shown at once; the rest is a search or a press away. */
const pageLength = 50;
const retentions = [0, 7, 30, 90, 365, 3650] as const;

/** Every exam on this device, the latest first. */
export function RecordsList() {
  const { records } = usePlace().room;
  const [wanted, want] = useState('');
  const [shown, show] = useState(pageLength);
  const all = records.list.value;
  const found = all.filter((exam) => holds(exam, wanted));
  return (
    <section aria-labelledby="exams-title">
      <h3 id="exams-title">
        {text.exams} <span class="badge">{all.length}</span>
      </h3>
      <Damaged />
      {all.length > 5 && (
        <label class="field">
          <span>{text.find}</span>
          <input
            type="search"
            value={wanted}
            onInput={({ currentTarget }) => {
              want(currentTarget.value);
              show(pageLength);
            }}
          />
        </label>
      )}
      {found.length === 0 && (
        <p class="quiet">{all.length === 0 ? text.noExams : text.foundNone}</p>
      )}
      <ul class="exams">
        {found.slice(0, shown).map((exam) => (
          <Listed key={exam.exam} exam={exam} />
        ))}
      </ul>
      {found.length > shown && (
        <button type="button" onClick={() => show(shown + pageLength)}>
          {text.more(Math.min(pageLength, found.length - shown))}
        </button>
      )}
      <Retention />
    </section>
  );
}

const holds = ({ label, examiner }: ListedExam, wanted: string): boolean =>
  `${label} ${examiner}`.toLocaleLowerCase().includes(wanted.trim().toLocaleLowerCase());

function Listed({ exam }: { readonly exam: ListedExam }) {
  const { room, messages } = usePlace();
  const { records } = room;
  const date = exam.startedAt === '' ? text.undated : dated(exam.startedAt, messages.locale);
  const label = exam.label === '' ? text.unlabelled : exam.label;
  const name = `${label}, ${date}`;
  const plan = planName(exam.plan, messages.names);
  return (
    <li>
      <div>
        <b class={exam.label === '' ? 'quiet' : ''}>{label}</b>
        {exam.current && <span class="badge">{text.now}</span>}
        <br />
        <span class="quiet">
          {[date, plan, exam.examiner].filter((one) => one !== '').join(' · ')}
        </span>
      </div>
      <div class="commands">
        {!exam.current && (
          <button
            type="button"
            aria-label={text.openNamed(name)}
            onClick={() => records.open(exam.exam)}
          >
            {text.openExam}
          </button>
        )}
        <Sure
          label={text.deleteExam}
          name={text.deleteNamed(name)}
          act={() => records.remove(exam.exam)}
        />
      </div>
    </li>
  );
}

function Damaged() {
  const { records } = usePlace().room;
  const damaged = records.damaged.value;
  if (damaged === undefined) return null;
  return (
    <div class="troubles" role="alert">
      <p>{damaged.line}</p>
      {damaged.readable > 0 && (
        <button type="button" onClick={records.salvage}>
          {text.restore(damaged.readable)}
        </button>
      )}
    </div>
  );
}

function Retention() {
  const { records } = usePlace().room;
  const due = records.due.value;
  return (
    <>
      <label class="field">
        <span>{text.retention}</span>
        <select
          value={String(records.retention.value)}
          onChange={({ currentTarget }) => records.setRetention(Number(currentTarget.value))}
        >
          {retentions.map((days) => (
            <option key={days} value={String(days)}>
              {days === 0 ? text.never : text.days(days)}
            </option>
          ))}
        </select>
      </label>
      {due > 0 && (
        <div class="warning">
          <p>{text.due(due)}</p>
          <Sure label={text.deleteDue} act={records.removeDue} />
        </div>
      )}
    </>
  );
}

/** A date and a time in the reader's own form; anything else as it is. */
export function dated(instant: string, locale: string): string {
  const date = new Date(instant);
  if (Number.isNaN(date.getTime())) return instant;
  return new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).format(date);
}
