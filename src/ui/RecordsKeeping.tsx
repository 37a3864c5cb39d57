import { usePlace } from './context.ts';
import { RecordsTold } from './RecordsTold.tsx';
import type { Keeping, Lock } from './records.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** Whether the exam at hand is on disk, whose it is, and the way to the records. */
export function RecordsKeeping() {
  const { room } = usePlace();
  const { records } = room;
  const { keeping, lock, label } = records;
  const empty = room.dialogue.value.record.entries.length === 0;
  const now = keeping.value;
  return (
    <section class="keeping" aria-label={text.this}>
      <label class="field">
        <span>{text.label}</span>
        <input
          type="text"
          autocomplete="off"
          placeholder={text.labelHint}
          value={label.value}
          onInput={({ currentTarget }) => {
            label.value = currentTarget.value;
          }}
        />
      </label>
      <p class="quiet" role="status">
        {standing(now, lock.value, empty)}
      </p>
      {room.panel.value === 'none' && <RecordsTold />}
      {records.consent.value && <p>{text.soundOn}</p>}
      {now.is === 'failing' && (
        <div class="troubles">
          <p>
            {text.failing} {now.line}
          </p>
          <ul class="commands">
            {now.parted ? (
              <>
                <li>
                  <button type="button" onClick={records.saveCopy}>
                    {text.saveCopy}
                  </button>
                </li>
                <li>
                  <button type="button" onClick={records.giveWay}>
                    {text.giveWay}
                  </button>
                </li>
              </>
            ) : (
              <li>
                <button type="button" onClick={records.tryAgain}>
                  {text.tryAgain}
                </button>
              </li>
            )}
          </ul>
        </div>
      )}
      <ul class="commands">
        <li>
          <button
            type="button"
            onClick={() => {
              room.panel.value = 'records';
            }}
          >
            {text.open}
          </button>
        </li>
        <li>
          <button type="button" onClick={records.compare}>
            {text.compareOpen}
          </button>
        </li>
        <li>
          <button type="button" disabled={empty} onClick={records.print}>
            {text.print}
          </button>
        </li>
      </ul>
    </section>
  );
}

function standing(keeping: Keeping, lock: Lock, empty: boolean): string {
  if (lock === 'looking') return '';
  if (lock === 'none') return text.inMemoryNone;
  if (lock === 'locked') return text.inMemoryLocked;
  if (lock === 'unusable') return text.inMemoryUnusable;
  if (keeping.is === 'failing') return text.failing;
  return empty ? text.nothingToKeep : text.kept;
}
