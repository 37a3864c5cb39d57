import { useState } from 'preact/hooks';
import { type Finding, findingName } from '../exam/index.ts';
import { usePlace } from './context.ts';

/** So much of it stands ready while it is shut; an exam of an hour has a thousand utterances. */
const latest = 100;

/** Everything heard and everything said back, the latest first. */
export function Transcript() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const [open, setOpen] = useState(false);
  const said = room.said.value;
  const ready = open ? said : said.slice(-latest);
  const named = (finding: Finding): string => findingName(finding, messages.names);
  return (
    <details class="transcript" onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>
        <h2>{text.transcript}</h2>
        {said.length > 0 && <span class="badge">{messages.count(said.length)}</span>}
      </summary>
      {said.length === 0 ? (
        <p class="quiet">{text.transcriptEmpty}</p>
      ) : (
        <ol reversed start={said.length}>
          {ready.toReversed().map((one, i) => (
            <li key={said.length - i}>
              <q>{one.heard}</q>
              {one.outcome === 'ignored' && (
                <span class="quiet"> {one.typed ? text.notUnderstood : text.passedOver}</span>
              )}
              {one.outcome === 'ask' && <span class="quiet"> {text.mustAnswer}</span>}
              {one.findings.length > 0 && (
                <span class="quiet"> → {one.findings.map(named).join('; ')}</span>
              )}
              {one.readBack !== '' && (
                <p>
                  <span class="quiet">{text.saidBack}</span> {one.readBack}
                </p>
              )}
            </li>
          ))}
        </ol>
      )}
    </details>
  );
}
