import { usePlace } from './context.ts';
import { Panel } from './Panel.tsx';
import { RecordsList } from './RecordsList.tsx';
import { ChoosePassphrase, OpenLock, Unlock } from './RecordsLock.tsx';
import { Bring, Packs, Sending, ThisExam } from './RecordsMore.tsx';
import { recordsMessages as text } from './recordsMessages.ts';

/** The records on this device: their lock, the exams, and every way in and out. */
export function RecordsPanel() {
  const { records } = usePlace().room;
  const lock = records.lock.value;
  return (
    <Panel title={text.title}>
      <RecordsTold />
      {lock === 'unusable' && <p>{text.inMemoryUnusable}</p>}
      {lock === 'none' && <ChoosePassphrase />}
      {lock === 'locked' && <Unlock />}
      {lock === 'open' && <RecordsList />}
      <ThisExam />
      <Packs />
      <Bring />
      <Sending />
      {lock === 'open' && <OpenLock />}
    </Panel>
  );
}

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
