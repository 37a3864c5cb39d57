import { usePlace } from './context.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** What was done and what did not work, each in a line. */
export function RecordsTold() {
  const { records } = usePlace().room;
  return (
    <div class="told">
      <p role="status">{records.done.value || (records.busy.value ? text.busy : '')}</p>
      <p role="alert" class="alarm">
        {records.fault.value}
      </p>
    </div>
  );
}
