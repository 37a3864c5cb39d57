import { findingName } from '../exam/index.ts';
import { usePlace } from './context.ts';
import type { Checked } from './room.ts';
import { roomMessages } from './roomMessages.ts';
import { Loudness, Troubles } from './Stage.tsx';

const text = roomMessages.check;

/** A trial of the microphone before the exam: how loud, what was heard, and nothing recorded. */
export function CheckPanel() {
  const { room, acts, messages } = usePlace();
  const source = room.source.value;
  const open = source.is === 'microphone' || source.is === 'recording';
  const partial = room.partial.value;
  return (
    <>
      <p>{text.intro}</p>
      {open ? (
        <>
          <Loudness />
          <p class="check-say">
            {text.try} <q>{text.example}</q>
          </p>
        </>
      ) : (
        <p>
          <button
            type="button"
            class="main"
            onClick={acts.listen}
            disabled={source.is === 'asking'}
          >
            {messages.text.listen}
          </button>
        </p>
      )}
      <Troubles />
      {partial.length > 0 && (
        <p class="quiet">
          <q>{partial.join(' ')} …</q>
        </p>
      )}
      <div role="status">
        {open && room.deaf.value && <p class="must">{messages.standing.deaf}</p>}
        {room.checked.value !== undefined && <Verdict {...room.checked.value} />}
      </div>
      <p>
        <button
          type="button"
          onClick={() => {
            room.panel.value = 'none';
          }}
        >
          Go on
        </button>
      </p>
    </>
  );
}

function Verdict({ heard, findings, sure }: Checked) {
  const { messages } = usePlace();
  return (
    <>
      <p>
        <span class="quiet">{messages.text.heard}</span> <q>{heard}</q>
      </p>
      {findings.length > 0 && (
        <p class="check-understood">
          <span class="quiet">{messages.text.understood}</span>{' '}
          {findings.map((finding) => findingName(finding, messages.names)).join(', ')}
        </p>
      )}
      <p>{verdictOf(findings.length, sure)}</p>
    </>
  );
}

function verdictOf(findings: number, sure: boolean): string {
  if (findings === 0) return text.notUnderstood;
  return sure ? text.works : text.doubted;
}
