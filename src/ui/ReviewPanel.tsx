import { usePlace } from './context.ts';
import { dated } from './RecordsList.tsx';
import { RecordsTold } from './RecordsTold.tsx';
import { ReviewItem } from './ReviewItem.tsx';
import type { OpenReview } from './records.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** A review pack: finding by finding, where the lesion may be, and who signed. */
export function ReviewPanel() {
  const { review } = usePlace().room.records;
  const open = review.open.value;
  return (
    <>
      <RecordsTold />
      {open !== undefined && <Opened open={open} />}
    </>
  );
}

function Opened({ open }: { readonly open: OpenReview }) {
  const { room, messages } = usePlace();
  const { review } = room.records;
  const when = open.startedAt === '' ? '' : dated(open.startedAt, messages.locale);
  const at = review.at.value;
  return (
    <>
      <p class="quiet">
        {[open.label, open.examiner, when].filter((one) => one !== '').join(' · ')}
      </p>
      {open.faults.length > 0 && (
        <div class="troubles" role="alert">
          <p>{text.damagedPack}</p>
          <ul>
            {open.faults.map((fault) => (
              <li key={fault}>{fault}</li>
            ))}
          </ul>
        </div>
      )}
      {open.against !== '' && <p role="status">{open.against}</p>}
      <ReviewItem open={open} at={at} />
      <section aria-labelledby="overview-title">
        <h3 id="overview-title">{text.overview}</h3>
        <ol class="verdicts">
          {open.items.map((item, i) => (
            <li key={item.entry.id}>
              <button
                type="button"
                class="plain"
                aria-current={i === at}
                onClick={() => review.go(i)}
              >
                {item.text}
              </button>
              <span class="tag" data-verdict={item.verdict}>
                {text.verdicts[item.verdict]}
              </span>
            </li>
          ))}
        </ol>
      </section>
      <Lesion open={open} />
      <Signing open={open} />
      <button type="button" onClick={review.close}>
        {text.leave}
      </button>
    </>
  );
}

function Lesion({ open }: { readonly open: OpenReview }) {
  const { room, messages } = usePlace();
  const { own } = room.records.review;
  return (
    <section aria-labelledby="lesion-title">
      <h3 id="lesion-title">{text.whereLesion}</h3>
      <div class="opinions">
        {open.opinions.map(({ by, site }) => (
          <div key={`${by} ${site}`}>
            <h4>{text.by(by)}</h4>
            <p>{site}</p>
          </div>
        ))}
        <div>
          <h4>{text.computed}</h4>
          <ol>
            {open.computed.map(({ name, probability }) => (
              <li key={name}>
                {name}, {messages.percent(probability)}
              </li>
            ))}
          </ol>
        </div>
      </div>
      <p class="quiet">{messages.disclaimer}</p>
      <label class="field">
        <span>{text.ownSite}</span>
        <input
          type="text"
          autocomplete="off"
          value={own.value}
          onInput={({ currentTarget }) => {
            own.value = currentTarget.value;
          }}
        />
      </label>
    </section>
  );
}

function Signing({ open }: { readonly open: OpenReview }) {
  const { room, messages } = usePlace();
  const { review } = room.records;
  return (
    <section aria-labelledby="signatures-title">
      <h3 id="signatures-title">{text.signatures}</h3>
      {open.signatures.length === 0 ? (
        <p>{text.unsigned}</p>
      ) : (
        <ul>
          {open.signatures.map(({ name, at, fingerprint, fault }) => (
            <li key={`${at} ${fingerprint}`}>
              <b>{name}</b>, {dated(at, messages.locale)}:{' '}
              <span class={fault === '' ? '' : 'alarm'}>{fault === '' ? text.holds : fault}</span>
              <br />
              <span class="quiet">
                {text.fingerprint} <code>{fingerprint}</code>
              </span>
            </li>
          ))}
        </ul>
      )}
      <p class="quiet">{text.fingerprintMore}</p>
      <label class="field">
        <span>{text.signName}</span>
        <input
          type="text"
          autocomplete="off"
          value={review.reviewer.value}
          onInput={({ currentTarget }) => {
            review.reviewer.value = currentTarget.value;
          }}
        />
      </label>
      <p class="quiet">{text.signMore}</p>
      <button
        type="button"
        class="main"
        disabled={open.faults.length > 0 || !open.changed}
        onClick={review.sign}
      >
        {text.sign}
      </button>
    </section>
  );
}
