import { useRef } from 'preact/hooks';
import { findingLine } from '../report/index.ts';
import { repliesTo } from './choice.ts';
import { usePlace } from './context.ts';
import type { OpenReview } from './records.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** The finding under review: what was said, heard again, and what the supervisor says of it. */
export function ReviewItem({ open, at }: { readonly open: OpenReview; readonly at: number }) {
  const { room, messages } = usePlace();
  const { review } = room.records;
  const remark = useRef<HTMLInputElement>(null);
  const item = open.items[at];
  if (item === undefined) return null;
  const { entry } = item;
  const words = open.words.get(entry.id);
  const line = findingLine(entry.finding, messages.report);
  return (
    <section class="review-item" aria-labelledby="review-finding">
      <p class="quiet">{text.finding(at + 1, open.items.length)}</p>
      <h3 id="review-finding" aria-live="polite">
        {line}
      </h3>
      <dl>
        <dt>{text.said}</dt>
        <dd>{words?.said}</dd>
        {words !== undefined && words.readBack !== '' && (
          <>
            <dt>{text.readBack}</dt>
            <dd>{words.readBack}</dd>
          </>
        )}
      </dl>
      {open.sounds.has(entry.id) ? (
        <button type="button" onClick={review.hear} aria-disabled={review.playing.value}>
          {review.playing.value ? text.playing : text.hear}
        </button>
      ) : (
        <p class="quiet">{text.noSound}</p>
      )}
      <p>
        <span class="tag" data-verdict={item.verdict}>
          {text.verdicts[item.verdict]}
        </span>{' '}
        {item.text !== line && item.text}
      </p>
      <ul class="commands">
        <li>
          <button type="button" class="main" onClick={review.agree}>
            {text.agree}
          </button>
        </li>
        <li>
          <button
            type="button"
            onClick={() => {
              review.query(remark.current?.value ?? '');
              if (remark.current !== null) remark.current.value = '';
            }}
          >
            {text.query}
          </button>
        </li>
        <li>
          <button type="button" onClick={() => review.go(at - 1)} disabled={at === 0}>
            {text.back}
          </button>
        </li>
        <li>
          <button
            type="button"
            onClick={() => review.go(at + 1)}
            disabled={at === open.items.length - 1}
          >
            {text.next}
          </button>
        </li>
      </ul>
      <label class="field">
        <span>{text.remark}</span>
        <input type="text" autocomplete="off" ref={remark} />
      </label>
      <Amend key={entry.id} open={open} at={at} />
      <p class="quiet">{text.sayIt}</p>
    </section>
  );
}

function Amend({ open, at }: { readonly open: OpenReview; readonly at: number }) {
  const { review } = usePlace().room.records;
  const chosen = useRef<HTMLSelectElement>(null);
  const finding = open.items[at]?.entry.finding;
  if (finding === undefined) return null;
  const { kind, site } = finding;
  const modality = finding.kind === 'sensation' ? { modality: finding.modality } : {};
  const values = repliesTo({ kind, site, ...modality })[0]?.choices ?? [];
  const others = values
    .map(({ label }) => label.replaceAll(' ', '-'))
    .filter((value) => value !== String(finding.value));
  if (others.length === 0) return null;
  return (
    <div class="amend">
      <label class="field">
        <span>{text.amend}</span>
        <select ref={chosen}>
          {others.map((value) => (
            <option key={value} value={value}>
              {value.replaceAll('-', kind === 'strength' ? '-' : ' ')}
            </option>
          ))}
        </select>
      </label>
      <button type="button" onClick={() => review.amend(chosen.current?.value ?? '')}>
        {text.amendNow}
      </button>
    </div>
  );
}
